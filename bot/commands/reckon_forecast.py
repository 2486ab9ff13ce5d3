"""The forecasting asks of ``jarside reckon``: a rise, a bake planned backwards, whether it is ready."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import cast, get_args

from bot.commands.questions import Question
from bot.culture import rise
from bot.culture.outcomes import Look, Outcome
from bot.culture.quantities import Range
from bot.culture.readiness import Missing, chance_of_next, readiness
from bot.culture.spread import Spread
from bot.culture.vigour import Observation, When, learn
from bot.culture.vocabulary import Flour, Ratio
from bot.errors import InputError
from bot.plan.bake import BakePlan, BakeStep, BakeWish, CannotBake, Why, plan_bake
from bot.plan.timeline import Awake, Kitchen
from bot.voice.catalogue import say


def rise_answer(question: Question) -> dict[str, object]:
    feeding = rise.Feeding(
        ratio=question.ratio(), celsius=question.number("celsius"), flours=question.flours()
    )
    belief = learn([_observed(part, feeding) for part in question.parts("observed")])
    found = rise.forecast(feeding, belief)
    out: dict[str, object] = {
        "double_h": _spread(found.double_h),
        "peak_h": _spread(found.peak_h),
        "vigour": _spread(found.vigour),
        "top": found.top,
    }
    if found.mark < 2.0:
        # This flour or wetness does not double: the time is to the height that counts for it.
        out["mark"] = found.mark
    return out


def _observed(part: Question, asked: rise.Feeding) -> Observation:
    """One look; what it does not say of the feed is as in the question."""
    when = part.fields.get("when", "at")
    if when not in get_args(When):
        raise InputError(f"when must be one of {', '.join(get_args(When))}")
    return Observation(
        feeding=rise.Feeding(
            ratio=part.ratio(default=asked.ratio),
            celsius=part.number("celsius", asked.celsius),
            flours=part.flours(default=asked.flours),
        ),
        rise=part.number("rise"),
        hours=part.number("hours"),
        when=cast(When, when),
    )


def bake_answer(question: Question) -> dict[str, object]:
    up, down = question.waking("awake", (Awake().up, Awake().down))
    celsius, flours = question.number("celsius"), question.flours()
    wish = BakeWish(
        ripe_at=question.moment("ripe_at"),
        levain_g=question.number("levain_g"),
        hydration=question.number("hydration", 1.0),
        hydration_in=question.number("hydration_in", 1.0),
        have_g=question.number("have_g"),
        kitchen=Kitchen(
            celsius=celsius,
            night_c=question.number("night_c") if question.has("night_c") else None,
            awake=Awake(up=up, down=down),
        ),
        earliest=question.moment("from") if question.has("from") else None,
        flours=flours,
    )
    plain = rise.Feeding(ratio=(1.0, 1.0, 1.0), celsius=celsius, flours=flours)
    belief = learn([_observed(part, plain) for part in question.parts("observed")])
    found = plan_bake(wish, belief)
    match found:
        case BakePlan():
            return {"steps": [_step(step) for step in found.steps]}
        case CannotBake(why=why, nearest=None):
            raise InputError(say("reckon.no_time_near", why=_cannot(why)))
        case CannotBake(why=why, nearest=at):
            assert at is not None
            told = at.isoformat(timespec="minutes")
            reason = say("reckon.nearest", why=_cannot(why), at=told)
            return {"error": reason, "nearest": told}


def _cannot(why: Why) -> str:
    match why:
        case "too-soon":
            return say("reckon.cannot_too_soon")
        case "asleep":
            return say("reckon.cannot_asleep")
        case "too-little":
            return say("reckon.cannot_too_little")


def _step(step: BakeStep) -> dict[str, object]:
    return {
        "at": step.at.isoformat(timespec="seconds"),
        "do": say("reckon.do_levain") if step.do == "levain" else say("reckon.do_build"),
        "starter_g": step.portions.starter_g,
        "flour_g": step.portions.flour_g,
        "water_g": step.portions.water_g,
        "ready": {
            "low": step.ready.low.isoformat(timespec="seconds"),
            "median": step.ready.median.isoformat(timespec="seconds"),
            "high": step.ready.high.isoformat(timespec="seconds"),
        },
    }


def ready_answer(question: Question) -> dict[str, object]:
    flours = question.flours()
    told = question.parts("feeds")
    seen = [_outcome(part, flours, index - len(told)) for index, part in enumerate(told)]
    day = question.number("day")
    celsius = question.number("celsius") if question.has("celsius") else None
    found = readiness(seen, day=day)
    return {
        "ready": found.ready,
        "chance": chance_of_next(seen, day=day, flours=flours, celsius=celsius),
        "missing": [_in_words(missing) for missing in found.missing],
    }


def _outcome(part: Question, flours: tuple[Flour, ...], days_ago: int) -> Outcome:
    """A feed of the question. Its date does not matter: the question gives the day and the order."""
    ratio: Ratio | None = part.ratio() if part.has("ratio") else None
    celsius = part.number("celsius") if part.has("celsius") else None
    hours = part.number("hours") if part.has("hours") else None
    height = part.number("rise")
    if ratio is not None:
        rise.Feeding(ratio=ratio, celsius=24.0)
    if celsius is not None and not 0.0 <= celsius <= 60.0:
        raise InputError(f"celsius is {celsius:g}: it must be 0 to 60 °C")
    # The same bounds as an observation's.
    Observation(
        feeding=rise.Feeding(ratio=(1.0, 1.0, 1.0), celsius=24.0),
        rise=height,
        hours=1.0 if hours is None else hours,
    )
    seen_at = _ANY_DAY + timedelta(days=days_ago)
    seen = Range(height, height)
    return Outcome(
        fed_at=None,
        ratio=ratio,
        celsius=celsius,
        flours=part.flours(default=flours),
        rise=seen,
        hours=hours,
        when="at",
        seen_at=seen_at,
        told=True,
        looks=(Look(rise=seen, hours=hours, when="at", seen_at=seen_at),),
    )


_ANY_DAY = datetime(2026, 1, 1, tzinfo=UTC)


def _in_words(missing: Missing) -> str:
    match missing.what:
        case "days":
            return say("readiness.days", count=int(missing.number))
        case "rises":
            return say("readiness.rises", count=int(missing.number))
        case "height":
            return say("readiness.height", times=f"{missing.number:g}")
        case "speed":
            return say("readiness.speed", hours=f"{missing.number:.0f}")
        case "time":
            return say("readiness.time")
        case "warmth":
            return say("readiness.warmth")


def _spread(spread: Spread) -> dict[str, object]:
    return {"low": spread.low, "median": spread.median, "high": spread.high}
