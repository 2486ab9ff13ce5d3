"""A bake planned in words: from the wish to steps by the person's own clock."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time, timedelta

from bot.coach.draft import Draft
from bot.coach.shelf import meant, was_ready
from bot.culture.curve import Feeding
from bot.culture.feeds import Portions
from bot.culture.journal import BakePlanned, BakeStage
from bot.culture.outcomes import observations, outcomes
from bot.culture.rise import forecast
from bot.culture.state import Culture
from bot.culture.vigour import Observation, Vigour, learn
from bot.culture.vocabulary import Flour, Units
from bot.errors import InputError
from bot.plan.bake import BakeStep, BakeWish, CannotBake, plan_bake
from bot.plan.reminders import USUAL_KITCHEN_C
from bot.plan.ripening import Awake, Kitchen
from bot.reading.bakes import BakeWished, Usual
from bot.reading.reading import Reading
from bot.voice import quantities
from bot.voice.bake import build_message, cannot_message, plan_message, stretch_message
from bot.voice.catalogue import say
from bot.voice.message import Choice, Message

LEVAIN_G = 100.0
LEFT_G = 20.0
"""What stays in the jar to be fed on."""
BUILD = 5.0
"""Times the starter that goes in: a feed of 1:2:2 (common practice, no source)."""
HAVE_G = 50.0
GATE_DAY = 7
NEAR = timedelta(minutes=45)
BEDTIME = time(22, 30)
_RATIOS = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 12.0, 15.0, 20.0)


def is_old_enough(draft: Draft) -> bool:
    """A jar in its first week has no bake to plan; a passer-by is taken at their word."""
    jar = meant(draft)
    if jar is None:
        return True
    if jar.started_at is None:
        return False
    return (draft.at - jar.started_at).days + 1 >= GATE_DAY


def plan(draft: Draft, wish: BakeWished, reading: Reading) -> Message:
    """The plan, or why there is none and what would help. Total."""
    jar = meant(draft)
    person = draft.dossier.person
    units: Units = person.units or "metric"
    told = reading.signs.temperature
    celsius = told.celsius if told is not None and told.of == "kitchen" else person.kitchen_c
    kitchen = Kitchen(
        celsius=USUAL_KITCHEN_C if celsius is None else celsius,
        awake=Awake(up=person.morning_at or time(7), down=BEDTIME),
    )
    flour: Flour = jar.flour if jar is not None else person.flour or "white"
    try:
        vigour = _vigour(jar, wish.usual, kitchen, flour)
        if wish.ripe_at is None and wish.in_hours is None:
            return _build_up(wish)
        if wish.in_hours is not None:
            return _stretch(wish.in_hours, kitchen, flour, vigour, units)
        chilled = wish.chilled or (jar is not None and jar.spot == "fridge")
        return _backwards(draft, wish, jar, kitchen, flour, vigour, units, chilled=chilled)
    except InputError:
        warmth = quantities.degrees(kitchen.celsius, units)
        return Message(kind="reply", text=say("bake.cold", kitchen=warmth))


def _backwards(
    draft: Draft,
    wish: BakeWished,
    jar: Culture | None,
    kitchen: Kitchen,
    flour: Flour,
    vigour: Vigour,
    units: Units,
    *,
    chilled: bool,
) -> Message:
    now = draft.local_at
    assert wish.ripe_at is not None
    if wish.ripe_at <= now:
        return Message(kind="reply", text=say("bake.passed"))
    asked = BakeWish(
        ripe_at=wish.ripe_at,
        levain_g=wish.levain_g or LEVAIN_G,
        have_g=wish.have_g or HAVE_G,
        kitchen=kitchen,
        earliest=now,
        flours=(flour,),
    )
    found = plan_bake(asked, vigour)
    if isinstance(found, CannotBake) and _is_near(found, wish.ripe_at):
        assert found.nearest is not None
        found = plan_bake(replace(asked, ripe_at=found.nearest), vigour)
    if isinstance(found, CannotBake):
        return cannot_message(found, now, units)
    notes = []
    if wish.levain_g is None:
        notes.append(say("bake.took_levain", grams=f"{LEVAIN_G:.0f}"))
    if wish.guessed_hour:
        notes.append(say("bake.took_hour", time=quantities.clock(wish.ripe_at, units)))
    if chilled:
        notes.append(say("bake.from_fridge"))
    elif jar is not None and not was_ready(jar):
        notes.append(say("bake.not_proven"))
    message = plan_message(found, wish.ripe_at, now, kitchen, units, *notes)
    if jar is None:
        return message
    draft.note(BakePlanned(stages=tuple(_stage(step) for step in found.steps)), jar.key)
    remind = Choice(label=say("reminders.choice_bake"), key=f"remind:{jar.key}")
    return replace(message, choices=(remind,))


def _is_near(refusal: CannotBake, ripe_at: datetime) -> bool:
    """Whether the nearest time is the one wanted, as near as dough knows."""
    return refusal.nearest is not None and abs(refusal.nearest - ripe_at) <= NEAR


def _stage(step: BakeStep) -> BakeStage:
    mix = step.portions
    return BakeStage(
        at=step.at,
        starter_g=mix.starter_g,
        flour_g=mix.flour_g,
        water_g=mix.water_g,
        ripe_at=step.ready.median,
    )


def _stretch(
    wished_h: float, kitchen: Kitchen, flour: Flour, vigour: Vigour, units: Units
) -> Message:
    """The ratio whose median peak comes nearest to the hours wished for."""
    peaks = {
        ratio: forecast(
            Feeding(ratio=(1.0, ratio, ratio), celsius=kitchen.celsius, flours=(flour,)), vigour
        ).peak_h
        for ratio in _RATIOS
    }
    ratio = min(_RATIOS, key=lambda r: (abs(peaks[r].median - wished_h), r))
    starter_g = 10.0 if ratio > 2 else 20.0
    portions = Portions(starter_g=starter_g, flour_g=starter_g * ratio, water_g=starter_g * ratio)
    return stretch_message(portions, peaks[ratio], wished_h, kitchen, units)


def _build_up(wish: BakeWished) -> Message:
    """How to get so many grams out of what is there in one feed, with a spoonful left to feed on."""
    assert wish.levain_g is not None
    total_g = wish.levain_g + LEFT_G
    starter_g = total_g / BUILD
    if wish.have_g is not None:
        starter_g = min(starter_g, wish.have_g)
    each_g = (total_g - starter_g) / 2
    portions = Portions(starter_g=starter_g, flour_g=each_g, water_g=each_g)
    return build_message(portions, wish.levain_g, LEFT_G)


def _vigour(jar: Culture | None, usual: Usual | None, kitchen: Kitchen, flour: Flour) -> Vigour:
    """What this culture's own reports say of it; what they say it usually does counts as one more."""
    seen = list(observations(outcomes(jar))) if jar is not None else []
    if usual is not None:
        feeding = Feeding(ratio=usual.ratio, celsius=kitchen.celsius, flours=(flour,))
        rise = forecast(feeding).top if usual.peak else 2.0
        seen += [Observation(feeding=feeding, rise=rise, hours=usual.hours)] * 2
    return learn(seen)
