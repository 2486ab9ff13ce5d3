"""``jarside reckon``: the culture's arithmetic, one question a line, one answer a line."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import UTC, datetime, timedelta
from typing import TextIO, cast, get_args

from bot.commands.questions import Question, parsed
from bot.culture import feeds, growth, jar, measures, rise
from bot.culture.curve import check_hydration
from bot.culture.outcomes import Look, Outcome
from bot.culture.quantities import Range
from bot.culture.readiness import Missing, readiness
from bot.culture.spread import Spread
from bot.culture.vigour import Observation, When, learn
from bot.culture.vocabulary import Flour, Ratio
from bot.errors import InputError
from bot.plan.bake import BakePlan, BakeStep, BakeWish, CannotBake, Why, plan_bake
from bot.plan.timeline import Awake, Kitchen
from bot.voice.catalogue import say

_INGREDIENTS: tuple[str, ...] = (*get_args(Flour), "flour", "water", "starter")


def run(stdin: TextIO, stdout: TextIO) -> int:
    """Answer every line of ``stdin`` in order, each as soon as it is read. Returns the exit code 0."""
    for line in stdin:
        if line.strip():
            answered = json.dumps(answer(line), ensure_ascii=False, allow_nan=False)
            stdout.write(_sound(answered) + "\n")
            stdout.flush()
    return 0


def answers(lines: Iterable[str]) -> Iterator[dict[str, object]]:
    """One answer for each line that is not blank."""
    return (answer(line) for line in lines if line.strip())


def answer(line: str) -> dict[str, object]:
    """What one question comes to; ``{"error": ...}`` when it makes no sense. Carries ``id`` over."""
    named: dict[str, object] = {}
    try:
        question = parsed(line)
        if "id" in question.fields:
            named["id"] = _name(question.fields["id"])
        ask = question.fields.get("ask")
        known = _ASKS.get(ask) if isinstance(ask, str) else None
        if known is None:
            raise InputError(f"ask must be one of {', '.join(_ASKS)}")
        return {**named, **known(question)}
    except InputError as wrong:
        return {**named, "error": str(wrong)}


def _growth(question: Question) -> dict[str, object]:
    celsius = question.number("celsius")
    return {
        "yeast_per_h": growth.yeast_per_h(celsius),
        "lab_per_h": growth.lab_per_h(celsius),
    }


def _rise(question: Question) -> dict[str, object]:
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


def _feed(question: Question) -> dict[str, object]:
    hydration_in = question.number("hydration_in", 1.0)
    keep_g = question.number("keep_g", 0.0)
    portions = _portions(question, hydration_in, keep_g)
    if keep_g < 0.0:
        raise InputError(f"keep_g is {keep_g:g}: it must be 0 g or more")
    if not question.has("want_g") and keep_g > portions.total_g:
        raise InputError(f"keep_g {keep_g:g} is more than the {portions.total_g:g} g of this feed")
    return {
        "starter_g": portions.starter_g,
        "flour_g": portions.flour_g,
        "water_g": portions.water_g,
        "total_g": portions.total_g,
        "hydration": portions.hydration,
    }


def _portions(question: Question, hydration_in: float, keep_g: float) -> feeds.Portions:
    starter_g = question.number("starter_g") if question.has("starter_g") else None
    want_g = question.number("want_g") if question.has("want_g") else None
    ratio = question.ratio() if question.has("ratio") else None
    hydration_out = question.number("hydration_out") if question.has("hydration_out") else None
    match ratio, hydration_out, starter_g, want_g:
        case None, None, _, _:
            raise InputError("feed needs ratio [starter, flour, water] or hydration_out")
        case _, _, None, None:
            raise InputError(
                "feed needs starter_g (what is there) or want_g (what is wanted), in grams"
            )
        case None, float(), float(), float():
            return feeds.build(
                starter_g, want_g, hydration_out, keep_g=keep_g, hydration_in=hydration_in
            )
        case None, float(), float(), None:
            return feeds.to_hydration(starter_g, hydration_out, hydration_in=hydration_in)
        case None, float(), None, float():
            return feeds.to_hydration_for(
                want_g, hydration_out, keep_g=keep_g, hydration_in=hydration_in
            )
        case _, _, float(), float():
            raise InputError("with a ratio give starter_g or want_g, not both")
    assert ratio is not None
    if starter_g is not None:
        found = feeds.feed(ratio, starter_g, hydration_in=hydration_in)
    else:
        assert want_g is not None
        found = feeds.feed_for(ratio, want_g, keep_g=keep_g, hydration_in=hydration_in)
    if hydration_out is not None:
        check_hydration(hydration_out, "hydration_out")
        if abs(found.hydration - hydration_out) > 0.005:
            raise InputError(
                f"that ratio makes hydration {found.hydration:.3f}, not hydration_out"
                f" {hydration_out:g}: give one of them"
            )
    return found


def _measure(question: Question) -> dict[str, object]:
    amount = question.fields.get("amount")
    if isinstance(amount, int | float) and not isinstance(amount, bool) and question.has("unit"):
        amount = f"{question.number('amount')!r} {question.text('unit')}"
    if not isinstance(amount, str):
        raise InputError('amount must be a number with its unit, as a text: "1/2 cup", "70 F"')
    of = question.fields.get("of")
    if of is not None and of not in _INGREDIENTS:
        raise InputError(f"of must be one of {', '.join(_INGREDIENTS)}")
    found = measures.convert(amount, cast("measures.Ingredient | None", of), question.text("to"))
    return {
        "value": _clean(found.value),
        "low": _clean(found.low),
        "high": _clean(found.high),
    }


def _jar(question: Question) -> dict[str, object]:
    found = jar.fill(
        question.number("jar_ml"),
        question.number("starter_g"),
        question.number("flour_g"),
        question.number("water_g"),
        question.number("rise"),
    )
    return {"volume_ml": found.volume_ml, "top_ml": found.top_ml, "fits": found.fits}


def _bake(question: Question) -> dict[str, object]:
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


def _ready(question: Question) -> dict[str, object]:
    flours = question.flours()
    told = question.parts("feeds")
    found = readiness(
        [_outcome(part, flours, index - len(told)) for index, part in enumerate(told)],
        day=question.number("day"),
        flours=flours,
        celsius=question.number("celsius") if question.has("celsius") else None,
    )
    return {
        "ready": found.ready,
        "chance": found.chance,
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


def _clean(value: float) -> float:
    """Without the last digits, which are the floating point's and no one's measure."""
    return float(f"{value:.13g}")


def _name(given: object) -> object:
    """An id as it was given: a text, a whole number or null; anything else as a text."""
    return given if given is None or isinstance(given, str | int) else str(given)


def _sound(text: str) -> str:
    """Without lone surrogates, which JSON can smuggle in and no encoding can write."""
    return text.encode("utf-8", "replace").decode("utf-8")


_ASKS: Mapping[str, Callable[[Question], dict[str, object]]] = {
    "growth": _growth,
    "rise": _rise,
    "feed": _feed,
    "measure": _measure,
    "jar": _jar,
    "bake": _bake,
    "ready": _ready,
}
