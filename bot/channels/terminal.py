"""The terminal as a messaging service: messages are printed, quick answers are numbered.

A bare number that stands before a quick answer taps it; so does the answer's own wording. The
numbers hold until the next messages come.
"""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TextIO, TypeAlias

from bot.delivery.ports import Receipt
from bot.voice.catalogue import say
from bot.voice.message import Chart, Choice, Message

KeepPicture: TypeAlias = Callable[[Chart], Awaitable[Path]]
"""A chart painted into a file. Raises OSError."""

INDENT = "  "
WIDEST = 92


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How emphasis looks, and at how many columns lines are folded (None: not at all)."""

    bold: str = ""
    dim: str = ""
    plain: str = ""
    columns: int | None = None


def look_of(stream: TextIO, environ: Mapping[str, str], columns: int) -> Look:
    """A screen gets folded lines and, unless NO_COLOR asks otherwise, emphasis; a file gets neither."""
    if not stream.isatty():
        return Look()
    folded = max(20, min(columns - 1, WIDEST))
    if environ.get("NO_COLOR") or environ.get("TERM") == "dumb":
        return Look(columns=folded)
    return Look(bold="\x1b[1m", dim="\x1b[2m", plain="\x1b[0m", columns=folded)


class Terminal:
    """A Channel for one person at one screen.

    ``write`` takes whole lines with their newline; ``wall`` gives the time on the person's wall,
    which is shown before what the bot says unasked. ``keep_picture`` writes a chart to a file.
    """

    def __init__(
        self,
        write: Callable[[str], object],
        look: Look,
        wall: Callable[[], datetime],
        keep_picture: KeepPicture,
    ) -> None:
        self._write = write
        self._look = look
        self._wall = wall
        self._keep_picture = keep_picture
        self._time_shown: str | None = None
        self._shown = 0
        self._offered: list[Choice] = []

    async def send(self, chat: str, message: Message, *, plain: bool) -> Receipt:
        """Print it; its quick answers are numbered on from those printed in the same breath."""
        if message.kind == "prompt":
            self.show_time()
        choices = () if plain else message.choices
        picture = None if plain else await self._picture(message)
        self._write(painted(message, choices, len(self._offered) + 1, self._look, picture))
        self._offered.extend(choices)
        self._shown += 1
        return Receipt(message=f"terminal:{self._shown}")

    async def _picture(self, message: Message) -> Path | None:
        """The file of the message's picture; None when it has none, or none could be written."""
        if message.chart is None:
            return None
        try:
            return await self._keep_picture(message.chart)
        except OSError:
            return None

    def new_breath(self) -> None:
        """The next messages are a new answer: the numbers shown so far no longer count."""
        self._offered.clear()

    def tapped(self, text: str) -> str | None:
        """The key of the quick answer that this text picks, by number or by wording; None: none."""
        wanted = text.strip()
        for number, choice in enumerate(self._offered, 1):
            if wanted == str(number) or wanted.casefold() == choice.label.casefold():
                return choice.key
        return None

    def show_time(self) -> None:
        """A line with the day and the hour on the person's wall, unless it stands there already."""
        shown = day_and_hour(self._wall())
        if shown != self._time_shown:
            self._time_shown = shown
            self._write(self._emphasised(f"-- {shown} --", self._look.dim))

    def show_echo(self, text: str) -> None:
        """What was read from a file or a pipe, so that the talk can be followed."""
        self._write(self._emphasised(f"> {printable(text)}", self._look.dim))

    def show_note(self, text: str) -> None:
        """A word of the terminal's own, not the coach's."""
        self._write(self._emphasised(_folded(text, self._look.columns, ""), self._look.dim))

    def _emphasised(self, line: str, how: str) -> str:
        return f"{how}{line}{self._look.plain}\n" if how else f"{line}\n"


def painted(
    message: Message, choices: tuple[Choice, ...], first: int, look: Look, picture: Path | None
) -> str:
    """The message as lines of the terminal, an empty line after it. ``first`` numbers the choices.

    The path of a picture stands on a line of its own, whole, and what it shows is told in words.
    """
    lines = []
    if message.heading is not None:
        lines.append(f"{INDENT}{look.bold}{printable(message.heading)}{look.plain}")
    lines.append(_folded(printable(message.text), look.columns, INDENT))
    if message.chart is not None:
        line = "terminal.no_picture" if picture is None else "terminal.picture"
        what = printable(message.chart.alt)
        lines.append(_folded(say(line, what=what), look.columns, INDENT))
        if picture is not None:
            lines.append(f"{INDENT}{printable(str(picture))}")
    if message.strip is not None:
        alt = printable(message.strip.alt)
        lines.append(_folded(say("terminal.photos", what=alt), look.columns, INDENT))
    if choices:
        offered = "   ".join(
            f"{number} {printable(choice.label)}".replace(" ", "\xa0")
            for number, choice in enumerate(choices, first)
        )
        lines.append(_folded(offered, look.columns, INDENT + INDENT).replace("\xa0", " "))
    return "\n".join(lines) + "\n\n"


def day_and_hour(local: datetime) -> str:
    """ "Tuesday 3 March, 08:00"."""
    return f"{local:%A} {local.day} {local:%B}, {local:%H:%M}"


def printable(text: str) -> str:
    """Without what a terminal would take for an order: a name may hold any character."""
    return "".join(c for c in text if c == "\n" or unicodedata.category(c) not in ("Cc", "Cs"))


def _folded(text: str, columns: int | None, indent: str) -> str:
    """Every line indented, and folded between words where there is a width to fold to."""
    lines: list[str] = []
    for line in text.split("\n"):
        if columns is None:
            lines.append((indent + line).rstrip())
            continue
        lines.extend(
            textwrap.wrap(
                line,
                columns,
                initial_indent=indent,
                subsequent_indent=indent,
                break_on_hyphens=False,
            )
            or [""]
        )
    return "\n".join(lines)
