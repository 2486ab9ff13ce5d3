"""A morning in words: the day, the steps, what to expect, and quick answers to tap."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from bot.culture.measures import Ingredient, kitchen_measure
from bot.culture.quantities import Range
from bot.culture.state import Culture, Dossier, Person
from bot.culture.vocabulary import Flour, Units
from bot.plan.feeding import Feeding, JarWarning, feeding_on, jar_warning
from bot.plan.method import method
from bot.plan.mornings import local_day_at
from bot.plan.stages import MorningPlan
from bot.plan.zones import zone_info
from bot.voice.catalogue import say
from bot.voice.message import Choice, Message
from bot.voice.quantities import clock, degrees, degrees_between, number, spoons

SPOON_G = 16.0
"""A level tablespoon of stirred-down starter: 15-17 g (F-175, from memory)."""

LONGEST = 600
"""Letters: more than a phone screen of text is not read before coffee."""

QUICK_ANSWERS = ("fed", "doubled", "some-bubbles", "nothing", "odd-smell")

MUCH_SLOWER = 2.5
"""Times as long: from here on "twice as long" would be untrue."""

MANY_DAYS = 10

NEGLECTED_DAYS = 6
"""Missed days from which a jar is to be looked at closely before it is fed (F-196, F-212)."""

THRIFTY = "thrifty"
SAFE_RISE = 3.0
"""A jar with room for this height ratio is never too small (F-179)."""

LEARNING_DAYS = 3
"""So long the steps are given in full."""

BEST_C = (24.0, 26.0)
"""Where a young culture does best (F-191, common practice)."""


def morning_message(plan: MorningPlan, person: Person, culture: Culture) -> Message:
    """The prompt of one culture's morning.

    Quick answers have keys "say:<what>:<culture key>:<local day>", <what> being one of ``fed``,
    ``doubled``, ``some-bubbles``, ``nothing``, ``odd-smell``; the line "morning.choice_<what>"
    has the same in words. A jar that may bake offers "next:<choice>:<culture key>" instead.
    """
    answers = [what for what in QUICK_ANSWERS if what != "fed" or plan.feeding is not None]
    choices = [_choice(what, plan.culture, plan.local_day) for what in answers]
    if _may_choose(plan, culture):
        choices = [
            Choice(label=say(f"morning.choice_{what}"), key=f"next:{what}:{plan.culture}")
            for what in ("bake", "rest", "counter")
        ]
    heading = say("morning.heading", day=plan.day, name=plan.name)
    return Message(
        kind="prompt",
        heading=heading,
        text=_text(plan, person, culture, LONGEST - len(heading) - 1),
        choices=tuple(choices),
    )


def first_mix_message(person: Person, culture: Culture) -> Message:
    """Day 1 as a reply, for a culture that begins now: what to mix, in what jar, and what then."""
    plan = method(culture.method)
    units = person.units or "metric"
    first = feeding_on(plan, 1, "unknown")
    steps = say(
        "morning.first_mix",
        jar=plan.jar_words,
        flour=_flour(first.flour_g, culture.flour, units),
        water=_water(first.water_g, units),
        warm=degrees_between(*BEST_C, units),
    )
    too_small = jar_warning(culture, feeding_on(plan, 2, "unknown"), plan.on(2).rise_high)
    zone = None if person.zone is None else zone_info(person.zone)
    begun_on = culture.began_at.date() if zone is None else local_day_at(culture.began_at, zone)
    return Message(
        kind="reply",
        heading=say("morning.heading", day=1, name=culture.name),
        text="\n\n".join((steps, *_jar(too_small, culture))),
        choices=(_choice("mixed", culture.key, begun_on),),
    )


def kind_line(dossier: Dossier, local_day: date) -> Message:
    """The one line after three silent mornings; it asks for nothing."""
    return Message(kind="prompt", text=say("morning.kind_line", vary=local_day.toordinal()))


def _text(plan: MorningPlan, person: Person, culture: Culture, longest: int) -> str:
    """Paragraphs, the most needful first; what would make it too long is left out."""
    units = person.units or "metric"
    kept = _what_to_do(plan, person, culture)
    gate = _gate(plan, culture)
    clue = say("morning.look_for", vary=plan.day, look_for=plan.look_for)
    note = plan.note if plan.gate is None else ""
    for ways in ((gate,), _expected(plan, units), (clue,), (note,)):
        for paragraph in ways:
            if paragraph and len("\n\n".join((*kept, paragraph))) <= longest:
                kept.append(paragraph)
                break
    return "\n\n".join(kept)


def _gate(plan: MorningPlan, culture: Culture) -> str:
    """From the seventh day on: how far it has come, and how long it may take yet."""
    gate = plan.gate
    if gate is None:
        return ""
    if _may_choose(plan, culture):
        return say("morning.gate_choose", name=plan.name)
    if gate.is_open:
        return say("morning.gate_open", count=gate.in_a_row)
    so_far = (
        say("morning.so_far", count=gate.in_a_row) if gate.in_a_row else say("morning.so_far_none")
    )
    line = "morning.gate_day" if plan.is_gate_day else "morning.gate_later"
    said = say(line, wanted=gate.wanted, so_far=so_far)
    return said if gate.days is None else f"{said} {_days_more(gate.days)}"


def _days_more(days: Range) -> str:
    low, high = max(1, round(days.low)), round(days.high)
    if high <= low:
        return say("morning.gate_days_soon")
    if low > MANY_DAYS or high > 4 * MANY_DAYS:
        return say("morning.gate_days_long", low=low)
    if low == 1:
        return say("morning.gate_days_within", high=high)
    return say("morning.gate_days", low=low, high=high)


def _may_choose(plan: MorningPlan, culture: Culture) -> bool:
    """The rises are there and the advice, which knows of smells and dangers, has agreed."""
    verdicts = [said.verdict for said in culture.conclusions if said.verdict is not None]
    is_settled = bool(verdicts) and verdicts[-1] == "ready" and culture.chosen is None
    return is_settled and plan.gate is not None and plan.gate.is_open


def _what_to_do(plan: MorningPlan, person: Person, culture: Culture) -> list[str]:
    units = person.units or "metric"
    if plan.in_fridge:
        return [say("morning.fridge", name=plan.name)]
    if plan.fed_today_at is not None:
        line = "morning.mixed_already" if plan.day == 1 else "morning.fed_already"
        done = say(line, vary=plan.day, time=clock(plan.fed_today_at, units))
        return [done, *_jar(plan.jar, culture)]
    assert plan.feeding is not None
    said: list[str] = []
    # Whoever answers nothing has read it twice by then.
    if plan.missed_days and person.silent_mornings <= 1:
        line = "morning.missed_long" if plan.missed_days >= NEGLECTED_DAYS else "morning.missed"
        said.append(say(line, count=plan.missed_days))
    if plan.feed_later_at is not None:
        time = clock(plan.feed_later_at, units)
        said.append(say("morning.later", vary=plan.day, time=time))
    said.append(_steps(plan, plan.feeding, culture, units))
    said += _jar(plan.jar, culture)
    return said


def _jar(warning: JarWarning | None, culture: Culture) -> list[str]:
    """That the jar is too small, and what would do; nothing when it is large enough."""
    if warning is None:
        return []
    jar, needed = _millilitres(warning.jar_ml), _millilitres(warning.needed_ml)
    said = say(f"morning.jar_{warning.room}", jar=jar, needed=needed)
    thrifty = feeding_on(method(THRIFTY), LEARNING_DAYS, "mild")
    saves = culture.method != THRIFTY and jar_warning(culture, thrifty, SAFE_RISE) is None
    return [f"{said} {say('morning.jar_thrifty')}" if saves else said]


def _steps(plan: MorningPlan, feeding: Feeding, culture: Culture, units: Units) -> str:
    return say(
        "morning.steps_first" if plan.day <= LEARNING_DAYS else "morning.steps",
        vary=plan.day,
        keep=_keep(feeding, units),
        flour=_flour(feeding.flour_g, culture.flour, units),
        water=_water(feeding.water_g, units),
    )


def _keep(feeding: Feeding, units: Units) -> str:
    """What is carried over; a keeper with amounts of their own needs no spoons, unless they use them."""
    words = feeding.keep_words
    if not words and units == "us":
        words = spoons(feeding.keep_g / SPOON_G)
    if not words:
        return say("morning.amount", grams=_whole(feeding.keep_g))
    return say("morning.amount_keep", grams=_whole(feeding.keep_g), words=words)


def _expected(plan: MorningPlan, units: Units) -> tuple[str, ...]:
    """What the day usually brings at this kitchen's warmth, in full and as short as it can be."""
    if plan.kitchen_c is None or plan.warmth == "unknown":
        return (say("morning.expect", normal=plan.normal),)
    kitchen = degrees(plan.kitchen_c, units)
    if plan.warmth == "mild":
        return (say("morning.expect_at", vary=plan.day, kitchen=kitchen, normal=plan.normal),)
    times = "twice" if plan.times_as_long < MUCH_SLOWER else "thrice"
    warmth = say(
        f"morning.warmth_{plan.warmth}",
        kitchen=kitchen,
        warm=degrees_between(*BEST_C, units),
        times=say(f"morning.times_{times}"),
    )
    return (f"{say('morning.expect', normal=plan.normal)} {warmth}", warmth)


def _flour(grams: float, flour: Flour, units: Units) -> str:
    """Grams first for a scale; in the US the ounces, and about how much that is by the cup."""
    if units == "metric":
        return say("morning.amount_metric", grams=_whole(grams))
    ounces = number(kitchen_measure(grams, flour, units).ounces, units)
    measure = _measure(grams, flour)
    return say("morning.amount_flour_us", grams=_whole(grams), ounces=ounces, measure=measure)


def _water(grams: float, units: Units) -> str:
    if units == "metric":
        return say("morning.amount_metric", grams=_whole(grams))
    return say("morning.amount_water_us", grams=_whole(grams), measure=_measure(grams, "water"))


def _measure(grams: float, of: Ingredient) -> str:
    """The nearest cup or spoon in words: "1/2 cup", "3 1/2 tablespoons"."""
    found = kitchen_measure(grams, of, "us")
    whole, part = divmod(Fraction(found.quantity).limit_denominator(4), 1)
    written = " ".join(str(number) for number in (whole, part) if number)
    return say(
        f"morning.measure_{found.unit}", count=1 if found.quantity <= 1 else 2, written=written
    )


def _whole(grams: float) -> str:
    return f"{grams:.0f}"


def _millilitres(jar_ml: float) -> str:
    """A jar's size to the next ten."""
    return f"{round(jar_ml, -1):,.0f} ml"


def _choice(what: str, culture: str, local_day: date) -> Choice:
    label = say(f"morning.choice_{what.replace('-', '_')}")
    return Choice(label=label, key=f"say:{what}:{culture}:{local_day.isoformat()}")
