"""A method: the days from an empty jar to a culture, as data that a baker can read and change.

Methods lie in ``handbook/methods``, one file each. The loader takes nothing on trust: a wrong key,
a missing day or an amount of another kind names the file and the key.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Final

from bot.errors import HandbookError
from bot.handbook.page import Page

USUAL: Final = "full"
"""The method of whoever never chose one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MethodDay:
    """One day of a method. Masses in grams; ``keep_g`` is carried over into a clean jar."""

    phase: str
    keep_g: float
    keep_words: str
    """What is carried over in kitchen words ("two heaping tablespoons"); empty on day 1."""
    flour_g: float
    water_g: float
    rise_low: float
    rise_high: float
    """The height ratio to be expected in a kitchen of 21-25 °C."""
    look_for: str
    normal: str
    note: str

    @property
    def total_g(self) -> float:
        return self.keep_g + self.flour_g + self.water_g


@dataclass(frozen=True, slots=True, kw_only=True)
class Kitchen:
    """How the method bends to a kitchen that is colder or warmer than most."""

    very_cold_below_c: float
    cold_below_c: float
    warm_above_c: float
    hot_above_c: float
    cold_from_day: int
    cold_keep_g: float
    cold_keep_words: str
    """What is carried over in the cold, from that day on."""
    warm_from_day: int
    warm_keep_g: float
    warm_keep_words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    id: str
    name: str
    about: str
    jar_ml: float
    """A jar that holds it at three times its height with a quarter to spare."""
    jar_words: str
    kitchen: Kitchen
    days: tuple[MethodDay, ...]
    """Day 1 first, without gaps."""
    onward: MethodDay
    kept: MethodDay
    """The daily feed of a culture that has come through and stays on the counter."""

    def on(self, day: int) -> MethodDay:
        """What that day asks; after the last written day the method goes on alike."""
        return self.days[max(day, 1) - 1] if day <= len(self.days) else self.onward


@cache
def method(method_id: str) -> Method:
    """The method of that id. Raises HandbookError, naming file and key, when it cannot be read."""
    file = resources.files("bot.handbook") / "methods" / f"{method_id}.toml"
    if not method_id.isidentifier() or not file.is_file():
        raise HandbookError(f"methods: there is no {method_id!r}; there are {method_ids()}")
    return method_from(file.read_text(encoding="utf-8"), method_id)


@cache
def method_ids() -> tuple[str, ...]:
    """Every method in the handbook, the usual one first."""
    folder = resources.files("bot.handbook") / "methods"
    ids = sorted(item.name[:-5] for item in folder.iterdir() if item.name.endswith(".toml"))
    return (USUAL, *(found for found in ids if found != USUAL))


def method_from(text: str, method_id: str) -> Method:
    """The method written in that TOML text. Raises HandbookError with the place of the fault."""
    page = Page.of(f"methods/{method_id}.toml", text)
    if page.words("id") != method_id:
        raise page.fault("id", f"wants {method_id!r}, the name of the file")
    found = Method(
        id=method_id,
        name=page.words("name"),
        about=page.words("about"),
        jar_ml=page.number("jar_ml", 50, 20_000),
        jar_words=page.words("jar_words"),
        kitchen=_kitchen(page.page("kitchen")),
        days=tuple(_numbered(row, number) for number, row in enumerate(page.pages("day"), 1)),
        onward=_day(page.page("onward"), most_keep_g=2_000),
        kept=_day(page.page("kept"), most_keep_g=2_000),
    )
    page.done()
    return found


def _numbered(row: Page, number: int) -> MethodDay:
    if row.number("day", 1, 60) != number:
        raise row.fault("day", f"wants {number}: days count from 1 without gaps")
    return _day(row, most_keep_g=0 if number == 1 else 2_000)


def _day(row: Page, *, most_keep_g: float) -> MethodDay:
    rise = row.numbers("rise", 1, 6)
    if len(rise) != 2 or rise[0] > rise[1]:
        raise row.fault("rise", "wants two height ratios, the lower first")
    day = MethodDay(
        phase=row.words("phase"),
        keep_g=row.number("keep_g", 0, most_keep_g),
        keep_words=row.text("keep_words"),
        flour_g=row.number("flour_g", 1, 2_000),
        water_g=row.number("water_g", 1, 2_000),
        rise_low=rise[0],
        rise_high=rise[1],
        look_for=row.words("look_for"),
        normal=row.words("normal"),
        note=row.words("note"),
    )
    if bool(day.keep_words) != bool(day.keep_g):
        raise row.fault("keep_words", "wants the kitchen words for keep_g, none when it is 0")
    row.done()
    return day


def _kitchen(row: Page) -> Kitchen:
    kitchen = Kitchen(
        very_cold_below_c=row.number("very_cold_below_c", 0, 20),
        cold_below_c=row.number("cold_below_c", 5, 25),
        warm_above_c=row.number("warm_above_c", 22, 35),
        hot_above_c=row.number("hot_above_c", 22, 40),
        cold_from_day=int(row.number("cold_from_day", 2, 60)),
        cold_keep_g=row.number("cold_keep_g", 1, 2_000),
        cold_keep_words=row.words("cold_keep_words"),
        warm_from_day=int(row.number("warm_from_day", 2, 60)),
        warm_keep_g=row.number("warm_keep_g", 1, 2_000),
        warm_keep_words=row.words("warm_keep_words"),
    )
    row.done()
    if not (
        kitchen.very_cold_below_c
        < kitchen.cold_below_c
        < kitchen.warm_above_c
        < kitchen.hot_above_c
    ):
        raise row.fault("hot_above_c", "from very_cold_below_c to hot_above_c they only rise")
    return kitchen
