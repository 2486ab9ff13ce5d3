"""``jarside reckon``: the culture's arithmetic, one question a line, one answer a line."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TextIO, cast, get_args

from bot.commands.questions import Question, parsed
from bot.commands.reckon_forecast import bake_answer, ready_answer, rise_answer
from bot.culture import feeds, growth, jar, measures
from bot.culture.curve import check_hydration
from bot.culture.vocabulary import Flour
from bot.errors import InputError

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
    of = question.fields.get("of") or None
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
    "rise": rise_answer,
    "feed": _feed,
    "measure": _measure,
    "jar": _jar,
    "bake": bake_answer,
    "ready": ready_answer,
}
