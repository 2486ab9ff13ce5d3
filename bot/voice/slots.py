"""What the texts of rules and answers may leave open, and the words that fill it."""

from __future__ import annotations

import string
from collections.abc import Callable
from datetime import datetime, time, timedelta

from bot.advice.case import Case
from bot.advice.facts import Facts
from bot.culture.vocabulary import Units
from bot.plan.feeding import Feeding, feeding_on, warmth_of
from bot.plan.keeping import standing
from bot.plan.method import method
from bot.voice import quantities
from bot.voice.amounts import jar_size, target
from bot.voice.catalogue import say
from bot.voice.conversions import converted
from bot.voice.quantities import warmth_slot

MORNING = time(8, 0)
GROWING_DAYS = 21
"""So long the method's own amounts are meant; later a keeper has amounts of their own."""

SMALL_KEEP_G = 10.0

KEEP_G = 25.0
"""What is carried over at a feed when nothing else was agreed (common practice, no source)."""


class Slots:
    """The words for every slot of one reply."""

    def __init__(self, case: Case, facts: Facts) -> None:
        self._case = case
        self._facts = facts
        self._units: Units = case.units

    def fill(self, text: str) -> str:
        """The text with every slot in words. KeyError: a slot nobody fills."""
        names = [name for _, name, _, _ in string.Formatter().parse(text) if name]
        return text.format(**{name: self.word(name) for name in names})

    def word(self, name: str) -> str:
        warmth = warmth_slot(name, self._units)
        if warmth is not None:
            return warmth
        return _WORDS[name](self)

    @property
    def morning(self) -> time:
        return self._case.dossier.person.morning_at or MORNING

    def later(self, hours: float) -> str:
        """A moment so many hours on, in the person's clock, never in the night."""
        at = quantities.rounded(self._case.at + timedelta(hours=hours))
        return quantities.moment(quantities.awake(at, self.morning), self._case.at, self._units)

    def tomorrow(self) -> str:
        return quantities.moment(self._tomorrow(), self._case.at, self._units)

    def next_feed(self) -> str:
        """Now, when a feed is due; else the next morning."""
        if self._case.culture is None:
            return say("units.next_feed")
        if self._due():
            return say("units.now")
        return self.tomorrow()

    def feed_when(self) -> str:
        """ "feed it now", "feed it tomorrow about 08:00", "feed it as usual": a clause, not a sentence."""
        if self._case.culture is None:
            return say("units.feed_as_usual")
        if self._due():
            return say("units.feed_now")
        return say("units.feed_then", when=self.tomorrow())

    def _due(self) -> bool:
        facts = self._facts
        if "fed" in facts.done or "started" in facts.done or facts.day == 1:
            return False
        return facts.hours_since_feed is None or facts.hours_since_feed >= 16

    def _tomorrow(self) -> datetime:
        day = self._case.at + timedelta(days=1)
        morning = self.morning
        return day.replace(hour=morning.hour, minute=morning.minute, second=0, microsecond=0)

    def feed(self, size: float) -> str:
        """A feed in amounts: the day's own of a jar that grows by a method, less of it kept when richer."""
        day = self._days_feed()
        if day is None:
            keep_g = KEEP_G if size <= 2 else SMALL_KEEP_G
            return quantities.feed(keep_g, keep_g * size, keep_g * size, self._units)
        keep_g = day.keep_g if size <= 1 else quantities.to_five(day.flour_g / (size + 1))
        return quantities.feed(keep_g, day.flour_g, day.water_g, self._units)

    def feed_equal(self) -> str:
        """As much flour and as much water as starter."""
        return quantities.feed(KEEP_G, KEEP_G, KEEP_G, self._units)

    def _days_feed(self) -> Feeding | None:
        """What the plan has for this day; None without a jar, and for one that is grown."""
        culture, day = self._case.culture, self._facts.day
        if culture is None or day is None or standing(culture) != "growing" or day > GROWING_DAYS:
            return None
        plan = method(culture.method)
        kitchen_c = self._case.dossier.person.kitchen_c
        # The first feed is on the second day; on the first there is only the mix.
        return feeding_on(plan, max(2, round(day)), warmth_of(plan.kitchen, kitchen_c, culture))

    def name(self) -> str:
        culture = self._case.culture
        return culture.name if culture is not None else say("advice.the_starter")

    def day(self) -> str:
        day = self._facts.day
        return say("advice.this_day") if day is None else say("advice.day", day=f"{day:.0f}")

    def kitchen(self) -> str:
        warmth = self._facts.warmth_c
        if warmth is None:
            return say("advice.that_warmth")
        return quantities.degrees(warmth, self._units)

    def row(self) -> str:
        """How many of the three rises are there, as a sentence."""
        return say(f"advice.row_{min(self._facts.doubles_in_a_row, 2)}")

    def jar_size(self) -> str:
        day = self._days_feed()
        usual_g = 3 * KEEP_G if day is None else day.keep_g + day.flour_g + day.water_g
        return jar_size(self._case.words, usual_g)

    def converted(self) -> str:
        return converted(self._case.words, self._units)


_WORDS: dict[str, Callable[[Slots], str]] = {
    "name": Slots.name,
    "day": Slots.day,
    "kitchen": Slots.kitchen,
    "feed": lambda slots: slots.feed(1),
    "feed_equal": Slots.feed_equal,
    "feed_rich": lambda slots: slots.feed(2),
    "feed_large": lambda slots: slots.feed(5),
    "next_feed": Slots.next_feed,
    "feed_when": Slots.feed_when,
    "tomorrow": Slots.tomorrow,
    "converted": lambda slots: slots.converted(),
    "row": Slots.row,
    "jar_size": Slots.jar_size,
    "target": lambda slots: target(slots._case.words),
    "evening": lambda slots: slots.later(12),
}

SLOTS = frozenset(_WORDS)
"""Every slot by name, besides the warmths ``{c24}`` and ``{c24_26}``."""
