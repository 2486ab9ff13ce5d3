"""A bake plan in words: when to mix what, when it is ripe, and what was taken for granted."""

from __future__ import annotations

from datetime import datetime

from bot.culture.feeds import Portions
from bot.culture.spread import Spread
from bot.culture.vocabulary import Units
from bot.plan.bake import BakePlan, BakeStep, CannotBake
from bot.plan.ripening import Kitchen
from bot.voice import quantities
from bot.voice.catalogue import say
from bot.voice.message import Message


def plan_message(
    plan: BakePlan, ripe_at: datetime, now: datetime, kitchen: Kitchen, units: Units, *notes: str
) -> Message:
    """The steps, each with its amounts and its spread of ripeness. ``notes`` are said at the end."""
    steps = [
        say(
            "bake.step" if step.do == "levain" else "bake.build",
            number=number,
            when=quantities.moment(quantities.rounded(step.at), now, units),
            amounts=_amounts(step.portions),
            ripe=_ripe(step, now, units),
        )
        for number, step in enumerate(plan.steps, 1)
    ]
    took = say("bake.took", kitchen=quantities.degrees(kitchen.celsius, units))
    return Message(
        kind="reply",
        heading=say("bake.heading", when=quantities.moment(ripe_at, now, units)),
        text="\n\n".join(["\n".join(steps), say("bake.use"), " ".join([took, *notes])]),
    )


def cannot_message(refusal: CannotBake, now: datetime, units: Units) -> Message:
    """Why it cannot be, and the nearest time that can."""
    line = say(f"bake.cannot_{refusal.why.replace('-', '_')}")
    if refusal.nearest is None:
        return Message(kind="reply", text=f"{line} {say('bake.no_time_near')}")
    when = quantities.moment(quantities.rounded(refusal.nearest), now, units)
    return Message(kind="reply", text=f"{line} {say('bake.nearest', when=when)}")


def stretch_message(
    portions: Portions, peak_h: Spread, wished_h: float, kitchen: Kitchen, units: Units
) -> Message:
    """The feed whose peak comes after so many hours."""
    parts = [
        say(
            "bake.stretch",
            ratio=_ratio(portions),
            amounts=_amounts(portions),
            kitchen=quantities.degrees(kitchen.celsius, units),
            hours=f"{peak_h.median:.0f}",
            low=f"{peak_h.low:.0f}",
            high=f"{peak_h.high:.0f}",
        )
    ]
    if peak_h.median < wished_h - 1.5:
        parts.append(say("bake.stretch_cooler"))
    elif peak_h.median > wished_h + 1.5:
        parts.append(say("bake.stretch_warmer"))
    parts.append(say("bake.stretch_learn"))
    return Message(kind="reply", text=" ".join(parts))


def build_message(portions: Portions, wanted_g: float, left_g: float) -> Message:
    """One feed that comes to so many grams, and what is left of it."""
    text = say(
        "bake.build_up",
        amounts=_amounts(portions),
        total=_grams(portions.total_g),
        wanted=_grams(wanted_g),
        left=_grams(left_g),
    )
    return Message(kind="reply", text=text)


def _amounts(portions: Portions) -> str:
    return say(
        "bake.amounts",
        starter=_grams(portions.starter_g),
        flour=_grams(portions.flour_g),
        water=_grams(portions.water_g),
        ratio=_ratio(portions),
    )


def _grams(value: float) -> str:
    return f"{value:.0f}" if value >= 10 else f"{value:.1f}".removesuffix(".0")


def _ratio(portions: Portions) -> str:
    """Seed to flour to water, to the nearest half: 1:2.5:2.5."""
    flour = round(portions.flour_g / portions.starter_g * 2) / 2
    water = round(portions.water_g / portions.starter_g * 2) / 2
    return f"1:{flour:g}:{water:g}"


def _ripe(step: BakeStep, now: datetime, units: Units) -> str:
    ready = step.ready
    return say(
        "bake.ripe",
        when=quantities.moment(quantities.rounded(ready.median), now, units),
        low=quantities.clock(quantities.rounded(ready.low), units),
        high=quantities.clock(quantities.rounded(ready.high), units),
    )
