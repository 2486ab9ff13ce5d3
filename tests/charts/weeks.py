"""Weeks of one kitchen, told entry by entry: what a picture is painted from."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from bot.culture.fold import fold
from bot.culture.journal import (
    Began,
    Entry,
    Event,
    KitchenSet,
    MorningsSet,
    Reported,
    UnitsSet,
    ZoneSet,
)
from bot.culture.state import Culture, Dossier
from bot.culture.vocabulary import (
    Act,
    Baked,
    Bubbles,
    Fed,
    Flour,
    Liquid,
    Moved,
    Rise,
    Signs,
    Smell,
    Temperature,
    Units,
)

OSLO = ZoneInfo("Europe/Oslo")
FIRST_DAY = date(2026, 3, 2)


class Kitchen:
    """One person with one jar, telling of it."""

    def __init__(
        self,
        *,
        name: str = "Biscuit",
        flour: Flour = "white",
        celsius: float | None = 21.0,
        units: Units = "metric",
        zone: str = "Europe/Oslo",
        mixed: str | None = "09:00",
        day_one: date = FIRST_DAY,
    ) -> None:
        self.zone = ZoneInfo(zone)
        self.day_one = day_one
        self._entries: list[Entry] = []
        begin = datetime.combine(day_one, time(8, 50), tzinfo=self.zone)
        for event in (
            ZoneSet(zone=zone), UnitsSet(units=units), KitchenSet(celsius=celsius),
            MorningsSet(at=time(8)),
        ):  # fmt: skip
            self._note(begin, event, None)
        started = None if mixed is None else self.at(1, mixed)
        self._note(begin, Began(name=name, flour=flour, method="full", started_at=started), "c1")

    def at(self, day: int, clock: str) -> datetime:
        local_day = self.day_one + timedelta(days=day - 1)
        return datetime.combine(local_day, time.fromisoformat(clock), tzinfo=self.zone)

    def tell(self, day: int, clock: str, signs: Signs, *acts: Act) -> None:
        self._note(self.at(day, clock), Reported(text="", signs=signs, acts=acts), "c1")

    @property
    def dossier(self) -> Dossier:
        return fold("p1", self._entries)

    @property
    def jar(self) -> Culture:
        return self.dossier.cultures[0]

    def _note(self, at: datetime, event: Event, culture: str | None) -> None:
        number = len(self._entries) + 1
        self._entries.append(Entry(number=number, at=at, event=event, culture=culture))


def seen(
    rise: float | None = None,
    *,
    hours: float | None = None,
    doubt: float = 0.0,
    bubbles: Bubbles | None = None,
    smell: tuple[Smell, ...] = (),
    celsius: float | None = None,
    liquid: bool | None = None,
    mould: bool | None = None,
) -> Signs:
    return Signs(
        rise=None
        if rise is None
        else Rise(ratio=rise, low=max(1.0, rise - doubt), high=rise + doubt),
        hours=hours,
        bubbles=bubbles,
        smell=smell,
        temperature=None if celsius is None else Temperature(celsius=celsius),
        liquid=None if liquid is None else Liquid(present=liquid),
        mould=mould,
    )


def first_week() -> Kitchen:
    """Early gas, the lull, the yeast: told in the mornings and once at the peak."""
    kitchen = Kitchen()
    kitchen.tell(2, "08:20", seen(1.0, bubbles="few", smell=("floury",)), Fed())
    kitchen.tell(3, "08:05", seen(2.4, doubt=0.2, bubbles="many", smell=("cheesy",)), Fed())
    kitchen.tell(4, "08:40", seen(1.0, bubbles="none", smell=("cheesy",), celsius=19.5), Fed())
    kitchen.tell(5, "08:10", seen(1.0, bubbles="few", smell=("sour",), liquid=True), Fed())
    kitchen.tell(6, "09:00", seen(1.3, bubbles="some", smell=("sour",), celsius=22.0), Fed())
    kitchen.tell(7, "08:15", seen(1.8, doubt=0.15, bubbles="many", smell=("yeasty",)), Fed())
    kitchen.tell(7, "17:00", seen(2.0, hours=8.0, bubbles="many", smell=("sweet",), celsius=23.0))
    return kitchen


def grown_week() -> Kitchen:
    """A culture of four weeks that is fed twice a day, baked with and put in the fridge."""
    kitchen = Kitchen(name="Rye Guy", flour="white", celsius=22.0)
    ratio = (1.0, 2.0, 2.0)
    for day in range(2, 29):
        kitchen.tell(day, "08:00", seen(2.1, hours=7.0 if day % 2 else 6.0, bubbles="many"))
        kitchen.tell(day, "08:05", Signs(), Fed(ratio=ratio))
    for day in (25, 26, 27):
        kitchen.tell(day, "20:00", seen(2.2, hours=6.5, smell=("yeasty",)), Fed(ratio=(1, 1, 1)))
    kitchen.tell(26, "21:00", seen(celsius=24.0))
    kitchen.tell(28, "18:00", Signs(), Baked())
    kitchen.tell(28, "20:00", Signs(), Moved(to="fridge"))
    kitchen.tell(30, "09:00", seen(liquid=True), Moved(to="counter"), Fed(ratio=ratio))
    kitchen.tell(30, "21:00", seen(1.6, doubt=0.3))
    return kitchen


def spoiled_week() -> Kitchen:
    """Mould on the sixth day."""
    kitchen = first_week()
    kitchen.tell(7, "18:00", seen(mould=True))
    return kitchen


def untold_week() -> Kitchen:
    """Mixed, and nothing said since; the warmth is not known."""
    return Kitchen(celsius=None)


def year() -> Kitchen:
    """A year of a jar that is fed and reported on every day."""
    kitchen = Kitchen(celsius=22.0)
    for day in range(2, 366):
        kitchen.tell(day, "08:00", seen(2.0, bubbles="many", smell=("yeasty",)), Fed())
        kitchen.tell(day, "20:00", seen(celsius=20.0 + day % 5))
    return kitchen
