"""What comes in and what goes out of the core, once per message or prompt.

A channel makes a ``Heard`` of whatever its service delivers; the coach answers with a ``Turn``.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal, TypeAlias

from bot.culture.journal import Entry
from bot.voice.message import Message


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """Text that a person wrote. ``message`` is the channel's key of it, for later edits."""

    text: str
    at: datetime
    message: str | None = None
    kind: Literal["said"] = "said"


@dataclass(frozen=True, slots=True, kw_only=True)
class Edited:
    """The new text of a message sent before."""

    text: str
    at: datetime
    message: str
    kind: Literal["edited"] = "edited"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tapped:
    """A choice was tapped: the ``key`` of a ``Choice``, perhaps a stale one."""

    key: str
    at: datetime
    kind: Literal["tapped"] = "tapped"


@dataclass(frozen=True, slots=True, kw_only=True)
class Located:
    """A shared location, in degrees."""

    latitude: float
    longitude: float
    at: datetime
    kind: Literal["located"] = "located"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """Something that is not text: it cannot be read, but it deserves a kind answer.

    ``file`` is the service's name of it; ``album`` the channel's key of several pictures that were
    sent together. A picture too large for the service to hand out is "too-large".
    """

    what: Literal["photo", "too-large", "voice", "video", "sticker", "document", "contact", "other"]
    at: datetime
    caption: str = ""
    message: str | None = None
    file: str | None = None
    album: str | None = None
    kind: Literal["sent"] = "sent"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """A question put where others read along. It is nobody's: no log is looked into or written.

    ``message`` is the channel's key of it, so that the answer can point at it.
    """

    text: str
    at: datetime
    message: str | None = None
    kind: Literal["asked"] = "asked"


Heard: TypeAlias = Said | Edited | Tapped | Located | Sent | Asked


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """What to keep, what to send (in this order), and when to wake next.

    ``next_prompt_at`` is the instant of the person's next due prompt of any kind; None: not until
    they write again.
    """

    entries: tuple[Entry, ...] = ()
    messages: tuple[Message, ...] = ()
    next_prompt_at: datetime | None = None
