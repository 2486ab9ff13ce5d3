"""One feed or first mix as it is being told, clause by clause, and the act it comes to."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from itertools import pairwise

from bot.culture.quantities import Range
from bot.culture.vocabulary import Act, Fed, Flour, Ratio, Started
from bot.reading.clauses import Clause, Message
from bot.reading.days import day_of
from bot.reading.hours_told import tells_now
from bot.reading.kept import kept
from bot.reading.masses import Stuff
from bot.reading.mixes import flours, masses, ratio
from bot.reading.stuffs import stuffs_of
from bot.reading.times import Moment, moment


@dataclass(slots=True)
class Batch:
    """What has been told of a feed so far, over tokens ``first..last``."""

    first: int
    last: int
    started: bool
    sure: bool
    """Whether a word says that it was fed; else its ratio or flour must."""
    at: Moment | None = None
    day: tuple[date, bool] | None = None
    """A day told without its hour, and whether it is a weekday."""
    ratio: Ratio | None = None
    masses: dict[Stuff, Range] = field(default_factory=dict)
    flours: list[Flour] = field(default_factory=list)
    spooned: bool = False
    """Whether flour was measured by a spoon or a mug of no known size."""
    weighed: set[str] = field(default_factory=set)
    """The flours that have a mass of their own."""

    @property
    def told(self) -> bool:
        named = self.ratio is not None or "flour" in self.masses
        return self.sure or named or self.spooned


def fill(message: Message, clause: Clause, mix: Batch, at: datetime) -> None:
    """Add what one more clause says of the feed; ``at`` is the moment of writing."""
    if not tells_now(clause) and (mix.at is None or _mended(message, clause)):
        mix.at = moment(message, clause, at, mix.day) or mix.at
    mix.day = mix.day or day_of(message, clause, at)
    mix.ratio = ratio(message, clause) or mix.ratio
    equal = mix.ratio == (1.0, 1.0, 1.0)
    found = masses(message, clause, mix.masses, mix.weighed, equal=equal)
    mix.masses.update(found)
    mix.spooned = mix.spooned or any(
        one.unit == "spoon" and "flour" in stuffs_of(message, clause, one) for one in clause.amounts
    )
    named = flours(message, clause)
    if named and mix.flours and _mended(message, clause):
        mix.flours.clear()
    mix.flours += [one for one in named if one not in mix.flours]
    if "white" in mix.flours and "bread" in mix.flours and not named:
        mix.flours.remove("white")
    if not found and mix.flours and "flour" not in mix.masses and len(clause.words) <= 3:
        # "strong white flour, 30g": a lone mass after the flour is the flour's.
        for one in clause.amounts:
            if one.unit == "gram":
                mix.masses["flour"] = Range(one.low, one.high)
    mix.last = max(mix.last, clause.last)


def _mended(message: Message, clause: Clause) -> bool:
    """ "Fed it rye, actually no, spelt": a clause that only mends, or begins by it."""
    before = message.before(clause)
    mended = clause.one("correct")
    if mended is not None and mended.first == clause.first:
        return True
    return bool(before) and before[-1].has("correct") and len(before[-1].words) <= 3


def order(told: list[Batch]) -> None:
    """ "At 8 and again at 4": of two feeds in the order told, the first was not after the second."""
    for one, two in pairwise(told):
        if one.at is not None and two.at is not None and one.at.either and one.at.at > two.at.at:
            one.at = Moment(one.at.at - timedelta(hours=12))


def before_seen(message: Message, clauses: list[Clause], told: list[Batch], at: datetime) -> None:
    """ "Fed at 7, doubled by noon": a feed comes before what was seen of it."""
    if len(told) != 1 or told[0].at is None or not told[0].at.either:
        return
    half_day = timedelta(hours=12)
    for clause in clauses:
        if clause.mood != "told" or clause.other or clause.has("act") or not clause.has("rise"):
            continue
        fed, seen = told[0].at.at, moment(message, clause, at)
        if seen is not None and fed - half_day < seen.at < fed:
            told[0].at = Moment(fed - half_day)
            return


def keep(message: Message, clauses: list[Clause], told: list[Batch]) -> None:
    """ "Kept 20g, fed 40 and 40": what was kept, told next to a feed, is the starter in it."""
    if len(told) != 1 or "starter" in told[0].masses or told[0].started:
        return
    mix = told[0]
    for clause in clauses:
        if clause.mood != "told" or clause.other:
            continue
        near = clause.first < mix.last + 12 and mix.first < clause.last + 16
        if near and (mass := kept(message, clause)) is not None:
            mix.masses["starter"] = mass
            return


def act(mix: Batch, first_day: bool) -> Act:
    """The act that was told; on the first day masses are those of the first mix."""
    weights = [mix.masses.get(one) for one in ("starter", "flour", "water")]
    if all(one is not None and one.is_exact and one.low <= 12 for one in weights):
        # "starter 1, flour 4, water 4": nobody weighs out four grams.
        mix.ratio = mix.ratio or (
            mix.masses["starter"].low,
            mix.masses["flour"].low,
            mix.masses["water"].low,
        )
        mix.masses = {}
    make = Started if mix.started or (first_day and mix.masses) else Fed
    return make(
        at=mix.at.at if mix.at else None,
        ratio=mix.ratio,
        starter_g=mix.masses.get("starter"),
        flour_g=mix.masses.get("flour"),
        water_g=mix.masses.get("water"),
        flours=tuple(mix.flours),
    )
