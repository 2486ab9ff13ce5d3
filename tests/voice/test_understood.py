"""What was logged, said back in one short line."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import get_args

import pytest

from bot.culture.vocabulary import (
    Baked,
    Binned,
    Bubbles,
    Discarded,
    Fed,
    Liquid,
    LiquidColour,
    LiquidWhere,
    Moved,
    Place,
    Rise,
    Signs,
    Skipped,
    Smell,
    Spot,
    Started,
    Stirred,
    Streak,
    Surface,
    Temperature,
    Texture,
)
from bot.reading.reading import Reading
from bot.voice.understood import understood

T = datetime(2026, 3, 4, 9, 0, tzinfo=UTC)


def said(signs: Signs = Signs(), *acts: object, units: str = "metric") -> str | None:  # noqa: B008
    return understood(Reading(signs=signs, acts=acts), units)  # type: ignore[arg-type]


def test_a_full_report_is_one_short_line() -> None:
    signs = Signs(
        rise=Rise(ratio=2, low=2, high=2),
        hours=5,
        bubbles="many",
        temperature=Temperature(celsius=21.1),
    )

    assert said(signs) == "Noted: doubled in 5 h, many bubbles, kitchen 21 °C."
    assert said(signs, units="us") == "Noted: doubled in 5 h, many bubbles, kitchen 70 °F."


def test_nothing_logged_is_nothing_said() -> None:
    assert said() is None


def test_a_rise_that_is_not_exactly_known_is_not_said_to_be() -> None:
    assert (
        said(Signs(rise=Rise(ratio=1.5, low=1, high=2)))
        == "Noted: between 1 and 2 times its height."
    )


EVERY_SIGN = [
    *(Signs(surface=word) for word in get_args(Surface)),
    *(Signs(bubbles=word) for word in get_args(Bubbles)),
    *(Signs(smell=(word,)) for word in get_args(Smell)),
    *(Signs(texture=(word,)) for word in get_args(Texture)),
    *(Signs(streak=word) for word in (*get_args(Streak), False)),
    *(Signs(liquid=Liquid(present=True, colour=word)) for word in get_args(LiquidColour)),
    *(Signs(liquid=Liquid(present=True, where=word)) for word in get_args(LiquidWhere)),
    Signs(liquid=Liquid(present=False)),
    *(Signs(temperature=Temperature(celsius=20, of=word)) for word in get_args(Place)),
    *(Signs(**{name: told}) for name in ("mould", "film", "crust", "pests", "floats") for told in (True, False)),
    *(Signs(rise=Rise(ratio=r, low=r, high=r)) for r in (1.0, 1.3, 1.5, 2.0, 2.6, 3.0)),
]  # fmt: skip


@pytest.mark.parametrize("signs", EVERY_SIGN, ids=str)
def test_every_sign_has_words(signs: Signs) -> None:
    line = said(signs)

    assert line is not None and line.startswith("Noted: ") and len(line) < 80


EVERY_ACT = [
    Fed(), Fed(ratio=(1, 2, 2)), Fed(at=T), Started(), Discarded(), Skipped(), Stirred(), Baked(),
    Binned(), *(Moved(to=spot) for spot in get_args(Spot)),
]  # fmt: skip


@pytest.mark.parametrize("act", EVERY_ACT, ids=str)
def test_every_act_has_words(act: object) -> None:
    line = said(Signs(), act)

    assert line is not None and line.startswith("Noted: ")


def test_a_long_report_stays_a_short_line() -> None:
    signs = Signs(
        rise=Rise(ratio=2, low=2, high=2), surface="domed", bubbles="many", smell=("sour", "yeasty"),
        texture=("spongy", "stretchy"), mould=False, streak=False, floats=True, crust=False,
        temperature=Temperature(celsius=22), liquid=Liquid(present=False),
    )  # fmt: skip

    line = said(signs)

    assert line is not None and len(line) < 160
