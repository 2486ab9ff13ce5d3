"""One short line that says back what was logged."""

from __future__ import annotations

from typing import assert_never

from bot.culture.vocabulary import (
    Act,
    Baked,
    Binned,
    Discarded,
    Fed,
    Moved,
    Rise,
    Signs,
    Skipped,
    Started,
    Stirred,
    Units,
)
from bot.reading.reading import Reading
from bot.voice.catalogue import say
from bot.voice.quantities import clock, degrees, grams, number

_LONGEST = 7
"""Things said back at most; the journal holds them all."""


def understood(reading: Reading, units: Units) -> str | None:
    """What was taken from the message ("Noted: doubled in 5 h, many bubbles, 21 °C."), or None."""
    parts = [*_acts(reading.acts, units), *_signs(reading.signs, units)]
    if not parts:
        return None
    return say("understood.noted", parts=", ".join(parts[:_LONGEST]))


def _signs(signs: Signs, units: Units) -> list[str]:
    parts: list[str] = []
    if signs.rise is not None:
        parts.append(_rise(signs.rise, signs.hours, units))
    if signs.surface is not None:
        parts.append(say(f"understood.surface_{signs.surface}"))
    if signs.bubbles is not None:
        parts.append(say(f"understood.bubbles_{signs.bubbles}"))
    parts += _smells(signs)
    if signs.liquid is not None:
        parts.append(_liquid(signs))
    parts += [say(f"understood.texture_{texture}") for texture in signs.texture]
    for name in ("mould", "film", "crust", "pests", "floats"):
        told = getattr(signs, name)
        if told is not None:
            parts.append(say(f"understood.{name}_{'yes' if told else 'no'}"))
    if signs.streak is not None:
        parts.append(say(f"understood.streak_{signs.streak or 'none'}"))
    if signs.temperature is not None:
        warmth = degrees(signs.temperature.celsius, units)
        parts.append(say(f"understood.warmth_{signs.temperature.of}", warmth=warmth))
    return parts


def _smells(signs: Signs) -> list[str]:
    """One "smells sour and yeasty" for several smells."""
    said = [say(f"understood.smell_{smell}") for smell in signs.smell]
    opening = f"{said[0].split()[0]} " if said else ""
    if len(said) < 2 or not all(one.startswith(opening) for one in said):
        return said
    return [say("understood.both", one=said[0], other=said[1].removeprefix(opening)), *said[2:]]


def _rise(rise: Rise, hours: float | None, units: Units) -> str:
    if rise.high <= 1.12:
        words = say("understood.rise_none")
    elif rise.high - rise.low > 0.55:
        words = say(
            "understood.rise_between", low=number(rise.low, units), high=number(rise.high, units)
        )
    elif 1.9 <= rise.ratio <= 2.1:
        words = say("understood.rise_doubled")
    elif 2.9 <= rise.ratio <= 3.1:
        words = say("understood.rise_tripled")
    elif 1.45 <= rise.ratio <= 1.55:
        words = say("understood.rise_half")
    else:
        words = say("understood.rise_times", times=number(rise.ratio, units))
    if hours is None:
        return words
    return say("understood.in_hours", what=words, hours=number(hours, units))


def _liquid(signs: Signs) -> str:
    assert signs.liquid is not None
    if not signs.liquid.present:
        return say("understood.liquid_none")
    colour = signs.liquid.colour
    liquid = say("understood.liquid") if colour is None else say(f"understood.liquid_{colour}")
    if signs.liquid.where is None:
        return liquid
    return say(f"understood.where_{signs.liquid.where}", liquid=liquid)


def _acts(acts: tuple[Act, ...], units: Units) -> list[str]:
    return [_act(act, units) for act in acts]


def _act(act: Act, units: Units) -> str:
    match act:
        case Fed() | Started():
            done = say(f"understood.{act.act}")
            if act.ratio is not None:
                ratio = ":".join(number(part, units) for part in act.ratio)
                done = say("understood.with_ratio", done=done, ratio=ratio)
            elif act.flour_g is not None:
                done = say("understood.with_flour", done=done, flour=grams(act.flour_g.middle))
            if act.at is not None:
                done = say("understood.done_at", done=done, clock=clock(act.at, units))
            return done
        case Moved():
            return say(f"understood.moved_{act.to}")
        case Skipped():
            return say("understood.skipped")
        case Discarded():
            return say("understood.discarded")
        case Stirred():
            return say("understood.stirred")
        case Baked():
            return say("understood.baked")
        case Binned():
            return say("understood.binned")
        case _:
            assert_never(act)
