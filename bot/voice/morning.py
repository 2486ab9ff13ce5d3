"""A morning in words: the day, the steps, what to expect, and quick answers to tap."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from bot.culture.measures import Ingredient, kitchen_measure
from bot.culture.state import Culture, Dossier, Person
from bot.culture.vocabulary import Flour, Units
from bot.plan.feeding import Feeding, feeding_on
from bot.plan.method import method
from bot.plan.mornings import local_day_at
from bot.plan.stages import MorningPlan
from bot.plan.zones import zone_info
from bot.voice.catalogue import say
from bot.voice.message import Choice, Message
from bot.voice.quantities import clock, degrees, degrees_between, number

LONGEST = 600
"""Letters: more than a phone screen of text is not read before coffee."""

QUICK_ANSWERS = ("fed", "doubled", "some-bubbles", "nothing", "odd-smell")

BEST_C = (24.0, 26.0)
"""Where a young culture does best (F-191, common practice)."""


def morning_message(plan: MorningPlan, person: Person, culture: Culture) -> Message:
    """The prompt of one culture's morning.

    Quick answers have keys "say:<what>:<culture key>:<local day>", <what> being one of ``fed``,
    ``doubled``, ``some-bubbles``, ``nothing``, ``odd-smell``; the line "morning.choice_<what>"
    has the same in words.
    """
    answers = [what for what in QUICK_ANSWERS if what != "fed" or plan.feeding is not None]
    return Message(
        kind="prompt",
        heading=say("morning.heading", day=plan.day, name=plan.name),
        text=_text(plan, person, culture),
        choices=tuple(_choice(what, plan.culture, plan.local_day) for what in answers),
    )


def today_message(plan: MorningPlan, person: Person, culture: Culture) -> Message:
    """The same plan as an answer to "what do I do today?"."""
    prompt = morning_message(plan, person, culture)
    return Message(kind="reply", heading=prompt.heading, text=prompt.text, choices=prompt.choices)


def first_mix_message(person: Person, culture: Culture) -> Message:
    """Day 1 as a reply, for a culture that begins now: what to mix, in what jar, and what then."""
    plan = method(culture.method)
    units = person.units or "metric"
    first = feeding_on(plan, 1, "unknown")
    zone = None if person.zone is None else zone_info(person.zone)
    begun_on = culture.began_at.date() if zone is None else local_day_at(culture.began_at, zone)
    return Message(
        kind="reply",
        heading=say("morning.heading", day=1, name=culture.name),
        text=say(
            "morning.first_mix",
            jar=plan.jar_words,
            flour=_flour(first.flour_g, culture.flour, units),
            water=_water(first.water_g, units),
            warm=degrees_between(*BEST_C, units),
        ),
        choices=(_choice("mixed", culture.key, begun_on),),
    )


def kind_line(dossier: Dossier, local_day: date) -> Message:
    """The one line after three silent mornings; it asks for nothing."""
    return Message(kind="prompt", text=say("morning.kind_line", vary=local_day.toordinal()))


def _text(plan: MorningPlan, person: Person, culture: Culture) -> str:
    """Paragraphs, the most needful first; what would make it too long is left out."""
    units = person.units or "metric"
    kept = _what_to_do(plan, culture, units)
    expected = " ".join(part for part in (plan.normal, _warmth(plan, units)) if part)
    clue = say("morning.look_for", vary=plan.day, look_for=plan.look_for)
    gate = [say("morning.gate")] if plan.is_gate else []
    for paragraph in (*gate, expected, clue, plan.note):
        if sum(len(part) + 2 for part in kept) + len(paragraph) <= LONGEST:
            kept.append(paragraph)
    return "\n\n".join(kept)


def _what_to_do(plan: MorningPlan, culture: Culture, units: Units) -> list[str]:
    if plan.in_fridge:
        return [say("morning.fridge", name=plan.name)]
    if plan.fed_today_at is not None:
        line = "morning.mixed_already" if plan.day == 1 else "morning.fed_already"
        return [say(line, vary=plan.day, time=clock(plan.fed_today_at, units))]
    assert plan.feeding is not None
    said: list[str] = []
    if plan.missed_days:
        said.append(say("morning.missed", count=plan.missed_days))
    if plan.feed_later_at is not None:
        time = clock(plan.feed_later_at, units)
        said.append(say("morning.later", vary=plan.day, time=time))
    steps = _steps(plan, plan.feeding, culture, units)
    said.append(f"{steps}\n{say('morning.rest', vary=plan.day)}" if plan.day <= 3 else steps)
    if plan.jar is not None:
        jar, needed = _millilitres(plan.jar.jar_ml), _millilitres(plan.jar.needed_ml)
        said.append(say(f"morning.jar_{plan.jar.room}", jar=jar, needed=needed))
    return said


def _steps(plan: MorningPlan, feeding: Feeding, culture: Culture, units: Units) -> str:
    return say(
        "morning.steps",
        vary=plan.day,
        keep=say("morning.amount_keep", grams=_whole(feeding.keep_g), words=feeding.keep_words),
        flour=_flour(feeding.flour_g, culture.flour, units),
        water=_water(feeding.water_g, units),
    )


def _warmth(plan: MorningPlan, units: Units) -> str:
    if plan.kitchen_c is None or plan.warmth == "unknown":
        return ""
    return say(
        f"morning.warmth_{plan.warmth}",
        vary=plan.day,
        kitchen=degrees(plan.kitchen_c, units),
        warm=degrees_between(*BEST_C, units),
    )


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
