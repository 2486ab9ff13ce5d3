"""What the bot says: plain text in parts. A channel decides how a heading or a choice looks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bot.culture.vocabulary import Verdict
from bot.voice.chart import Chart
from bot.voice.strip import Strip

__all__ = ["Chart", "Choice", "Kind", "Message", "Strip"]

Kind = Literal["prompt", "reply"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A quick answer to tap.

    ``key`` is at most 60 bytes of ASCII: it comes back when the person taps ("act:fed:c1:2026-03-02").
    """

    label: str
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Message:
    """One message. ``text`` is plain, never markup; each channel escapes it in its own way."""

    kind: Kind
    text: str
    heading: str | None = None
    verdict: Verdict | None = None
    rules: tuple[str, ...] = ()
    choices: tuple[Choice, ...] = ()
    chart: Chart | None = None
    strip: Strip | None = None
    """A picture of their own photos; a message has one picture at most."""
    answers: str | None = None
    """The channel's key of the message it answers, where others write in between."""

    @property
    def plain(self) -> str:
        """Heading, text and what the picture shows, as one piece of plain text."""
        said = self.text if self.heading is None else f"{self.heading}\n{self.text}"
        shown = self.chart or self.strip
        return said if shown is None else f"{said}\n\n{shown.alt}"
