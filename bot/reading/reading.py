"""The value a message becomes: what was seen, done and asked, and what was not understood."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

from bot.culture.vocabulary import NO_SIGNS, Act, Ask, Signs

Doubt: TypeAlias = Literal["mould", "streak", "rotten", "pests", "temperature", "rise"]
"""A slot where the message leaves real doubt, so that the advice can ask one question."""


@dataclass(frozen=True, slots=True)
class Span:
    """Which characters ``start..end`` of the text were taken for which slot ("rise", "act.fed")."""

    start: int
    end: int
    slot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherCulture:
    """What the same message says of a second culture, by the name the writer used."""

    name: str
    signs: Signs = NO_SIGNS
    acts: tuple[Act, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One message, read. Never an error: text that means nothing is in ``unread``.

    ``about`` is the name of the culture that ``signs`` and ``acts`` belong to, when one was named.
    ``topics`` are the subjects touched that are neither sign nor act ("pet", "sugar", "metal"):
    words of the handbook's topics file, used to find an answer. ``corrects``: the message mends what
    the writer reported last ("sorry, 24 not 34"); signs and acts then hold only what replaces it.
    """

    signs: Signs = NO_SIGNS
    acts: tuple[Act, ...] = ()
    asks: tuple[Ask, ...] = ()
    unread: tuple[str, ...] = ()
    about: str | None = None
    others: tuple[OtherCulture, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    topics: tuple[str, ...] = ()
    spans: tuple[Span, ...] = ()
    corrects: bool = False
