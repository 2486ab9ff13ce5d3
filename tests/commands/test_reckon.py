"""``jarside reckon``: every ask of the contract, and every way to ask nonsense."""

from __future__ import annotations

import io
import json
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.commands.reckon import run


def reckon(*questions: object) -> list[dict[str, object]]:
    lines = [q if isinstance(q, str) else json.dumps(q) for q in questions]
    out = io.StringIO()
    assert run(io.StringIO("\n".join(lines) + "\n"), out) == 0
    return [json.loads(line, parse_constant=refuse) for line in out.getvalue().splitlines()]


def refuse(word: str) -> float:
    raise AssertionError(f"{word} in an answer")


def one(**question: object) -> dict[str, object]:
    (answer,) = reckon(question)
    return answer


FEED = {"ratio": [1, 1, 1], "celsius": 24, "rise": 2.0, "hours": 5}
BAKE = {
    "ask": "bake", "ripe_at": "2026-03-07T09:00:00+01:00", "levain_g": 200, "hydration": 1.0,
    "celsius": 22, "have_g": 50, "awake": ["07:00", "22:30"], "from": "2026-03-05T12:00:00+01:00",
}  # fmt: skip


def test_growth() -> None:
    assert one(ask="growth", celsius=24) == {
        "yeast_per_h": pytest.approx(0.3649, abs=1e-4),
        "lab_per_h": pytest.approx(0.4087, abs=1e-4),
    }


def test_growth_is_nothing_in_an_oven_and_in_a_freezer() -> None:
    assert (
        reckon(*({"ask": "growth", "celsius": c} for c in (60, -18)))
        == [{"yeast_per_h": 0.0, "lab_per_h": 0.0}] * 2
    )


def test_rise_gives_three_spreads_and_the_top() -> None:
    found = one(ask="rise", ratio=[1, 2, 2], celsius=21, flour="white")

    assert set(found) == {"double_h", "peak_h", "vigour", "top"}
    for name in ("double_h", "peak_h", "vigour"):
        spread = found[name]
        assert isinstance(spread, dict)
        assert spread["low"] < spread["median"] < spread["high"]
    assert 7.0 <= found["peak_h"]["median"] <= 11.0  # type: ignore[index]


def test_what_was_observed_narrows_it() -> None:
    looks = [
        {**FEED, "flour": "white", "when": "at"},
        {**FEED, "flour": "white", "hours": 9, "when": "by"},
        {**FEED, "flour": "white", "hours": 3, "when": "not-by"},
    ]
    before = one(ask="rise", ratio=[1, 1, 1], celsius=24, flour="white")["vigour"]
    after = one(ask="rise", ratio=[1, 1, 1], celsius=24, flour="white", observed=looks)["vigour"]

    assert after["high"] - after["low"] < before["high"] - before["low"]  # type: ignore[index]
    assert after["median"] < before["median"]  # type: ignore[index]


@pytest.mark.parametrize(
    ("question", "starter_g", "flour_g", "water_g", "hydration"),
    [
        ({"ratio": [1, 2, 2], "starter_g": 20}, 20, 40, 40, 1.0),
        ({"ratio": [1, 2, 2], "want_g": 100}, 20, 40, 40, 1.0),
        ({"ratio": [1, 2, 2], "want_g": 80, "keep_g": 20}, 20, 40, 40, 1.0),
        ({"ratio": [1, 2, 1], "starter_g": 50, "hydration_in": 1.0}, 50, 100, 50, 0.6),
        ({"hydration_out": 1.0, "starter_g": 100, "hydration_in": 1.04}, 100, 100, 98.0392, 1.0),
        ({"hydration_out": 0.6, "starter_g": 30, "want_g": 180}, 30, 97.5, 52.5, 0.6),
        ({"hydration_out": 0.6, "want_g": 180}, 75, 75, 30, 0.6),
        ({"ratio": [0.2, 1, 0.76], "want_g": 200, "hydration_in": 1.25}, 20.4082, 102.0408, 77.551, 0.8),
    ],
)  # fmt: skip
def test_feed(question, starter_g: float, flour_g: float, water_g: float, hydration: float) -> None:
    """The last three by the fact sheet's worked examples E2 and E3 (F-184, derived)."""
    assert one(ask="feed", **question) == {
        "starter_g": pytest.approx(starter_g, abs=1e-3),
        "flour_g": pytest.approx(flour_g, abs=1e-3),
        "water_g": pytest.approx(water_g, abs=1e-3),
        "total_g": pytest.approx(starter_g + flour_g + water_g, abs=1e-3),
        "hydration": pytest.approx(hydration, abs=1e-5),
    }


@pytest.mark.parametrize(
    ("amount", "of", "to", "value", "low", "high"),
    [
        ("1/2 cup", "flour", "g", 62.5, 55.0, 72.5),
        ("2 heaping tbsp", "starter", "g", 60.0, 50.0, 70.0),
        ("4 oz", "flour", "g", 113.3980925, 113.3980925, 113.3980925),
        ("70 F", None, "C", 21.1111, 21.1111, 21.1111),
        ("¼ cup", "water", "g", 59.0408, 59.0408, 59.0408),
        ("50 g", "rye", "tbsp", 7.2727, 6.1538, 8.0),
    ],
)
def test_measure(amount: str, of, to: str, value: float, low: float, high: float) -> None:
    found = one(ask="measure", amount=amount, of=of, to=to)

    assert [found["value"], found["low"], found["high"]] == pytest.approx(
        [value, low, high], abs=0.02
    )


def test_jar() -> None:
    """F-179: 150 g tripled is tight in a pint, which leaves no quarter spare, and fits a quart."""
    third = {"ask": "jar", "starter_g": 50, "flour_g": 50, "water_g": 50, "rise": 3}

    pint, quart = reckon({**third, "jar_ml": 473.176}, {**third, "jar_ml": 946.353})

    assert pint == {
        "volume_ml": pytest.approx(136.36, abs=0.01),
        "top_ml": pytest.approx(409.09, abs=0.01),
        "fits": False,
    }
    assert quart["fits"] is True


def test_bake() -> None:
    (answer,) = reckon(BAKE)

    (step,) = answer["steps"]  # type: ignore[misc]
    assert set(step) == {"at", "do", "starter_g", "flour_g", "water_g", "ready"}
    assert step["starter_g"] + step["flour_g"] + step["water_g"] == pytest.approx(200.0)
    assert step["ready"]["low"] < "2026-03-07T09:00:00+01:00" < step["ready"]["high"]
    assert step["at"].endswith("+01:00")


def test_a_bake_that_cannot_be_names_the_nearest_that_can() -> None:
    late = {**BAKE, "from": "2026-03-07T06:00:00+01:00"}

    (refused,) = reckon(late)
    nearest = str(refused["nearest"])
    (met,) = reckon({**late, "ripe_at": nearest})

    assert nearest in str(refused["error"])
    assert "steps" in met


def test_ready() -> None:
    full, short = reckon(
        {"ask": "ready", "feeds": [FEED, FEED, FEED], "day": 9},
        {"ask": "ready", "feeds": [FEED, FEED], "day": 9},
    )

    assert full["ready"] is True and full["missing"] == []
    assert short["ready"] is False
    assert short["missing"] == ["One more full rise in time, on the next feed."]
    assert 0.0 <= float(str(short["chance"])) <= 1.0


def test_ids_are_carried_over_and_the_order_is_kept() -> None:
    found = reckon(
        {"id": "b", "ask": "growth", "celsius": 24},
        {"id": 7, "ask": "nonsense"},
        {"ask": "growth", "celsius": 24},
    )

    assert [answer.get("id") for answer in found] == ["b", 7, None]
    assert "error" in found[1]


@pytest.mark.parametrize(
    ("question", "says"),
    [
        ("nope", "not JSON"),
        ("[]", "JSON object"),
        ('{"ask": "growth", "celsius": NaN}', "finite number"),
        ('{"ask": "growth", "celsius": 1e999}', "finite number"),
        ('{"ask": "growth", "celsius": 1' + "0" * 400 + "}", "too large"),
        ({"ask": "growth", "celsius": "21"}, "must be a number"),
        ({"ask": "growth", "celsius": True}, "must be a number"),
        ({"ask": "growth", "celsius": 500}, "-30 to 100 °C"),
        ({"ask": "growth"}, "celsius is missing"),
        ({"celsius": 21}, "ask must be one of"),
        ({"ask": "rise", "ratio": [0, 1, 1], "celsius": 24}, "no seed"),
        ({"ask": "rise", "ratio": [1, 0, 1], "celsius": 24}, "no flour"),
        ({"ask": "rise", "ratio": [1, 1], "celsius": 24}, "three numbers"),
        ({"ask": "rise", "ratio": [1, 1, 1], "celsius": 60}, "4..34 °C"),
        ({"ask": "rise", "ratio": [1, 1, 1], "celsius": 24, "flour": "sawdust"}, "one of white"),
        ({"ask": "rise", "ratio": [1, 1, 1], "celsius": 24, "observed": [{"rise": 2}]}, "hours"),
        ({"ask": "rise", "ratio": [1, 1, 1], "celsius": 24, "observed": [{**FEED, "when": "soon"}]}, "when must"),
        ({"ask": "rise", "ratio": [1, 1, 1], "celsius": 24, "observed": [{**FEED, "hours": -2}]}, "more than 0"),
        ({"ask": "feed", "ratio": [1, 1, 1]}, "starter_g"),
        ({"ask": "feed", "starter_g": 20}, "ratio"),
        ({"ask": "feed", "ratio": [1, 1, 1], "starter_g": 0}, "more than 0"),
        ({"ask": "feed", "ratio": [1, 1, 1], "starter_g": 20, "want_g": 500}, "not both"),
        ({"ask": "feed", "ratio": [1, 2, 2], "starter_g": 20, "hydration_out": 0.6}, "give one"),
        ({"ask": "feed", "hydration_out": 5, "starter_g": 20}, "0.4 to 3"),
        ({"ask": "feed", "ratio": [1, 1, 1], "starter_g": 20, "keep_g": 100}, "more than the 60 g"),
        ({"ask": "measure", "amount": "70 F", "of": "flour", "to": "g"}, "temperature"),
        ({"ask": "measure", "amount": 5, "of": "flour", "to": "g"}, "with its unit"),
        ({"ask": "measure", "amount": "1 cup", "of": "sand", "to": "g"}, "of must be one of"),
        ({"ask": "jar", "jar_ml": 0, "starter_g": 5, "flour_g": 5, "water_g": 5, "rise": 2}, "10 to"),
        ({"ask": "jar", "jar_ml": 500, "starter_g": 0, "flour_g": 0, "water_g": 0, "rise": 2}, "nothing"),
        ({**BAKE, "ripe_at": "2026-03-07T09:00:00"}, "no offset"),
        ({**BAKE, "ripe_at": "Saturday"}, "ISO 8601"),
        ({**BAKE, "from": "2026-03-08T09:00:00+01:00"}, "not before"),
        ({**BAKE, "awake": ["07:00", "25:00"]}, "time of day"),
        ({**BAKE, "awake": ["07:00"]}, "two times"),
        ({**BAKE, "levain_g": -5}, "levain_g"),
        ({"ask": "ready", "feeds": [FEED], "day": -3}, "0 to 36,500"),
        ({"ask": "ready", "feeds": {"rise": 2}, "day": 9}, "list of objects"),
        ({"ask": "ready", "feeds": [{**FEED, "rise": 0}], "day": 9}, "outside 1..10"),
    ],
)  # fmt: skip
def test_nonsense_gets_one_clear_sentence_and_the_next_line_is_answered(question, says) -> None:
    refused, answered = reckon(question, {"ask": "growth", "celsius": 24})

    assert says in str(refused["error"])
    assert "\n" not in str(refused["error"]) and len(str(refused["error"])) < 250
    assert "yeast_per_h" in answered


values = st.recursive(
    st.one_of(
        st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=12),
        st.sampled_from(["1 cup", "white", "g", "07:00", "2026-03-07T09:00:00+01:00"]),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=6), inner, max_size=3)
    ),
    max_leaves=6,
)  # fmt: skip
FIELDS = (
    "celsius", "ratio", "flour", "observed", "starter_g", "want_g", "hydration_out", "hydration_in",
    "keep_g", "amount", "of", "to", "jar_ml", "flour_g", "water_g", "rise", "ripe_at", "levain_g",
    "hydration", "have_g", "awake", "from", "feeds", "day", "id",
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(["growth", "rise", "feed", "measure", "jar", "bake", "ready"]),
    st.dictionaries(st.sampled_from(FIELDS), values, max_size=8),
)
def test_any_question_is_answered_with_finite_numbers_or_refused(ask: str, fields) -> None:
    question = json.dumps({"ask": ask, **fields})

    (answer,) = reckon(question)

    assert numbers_are_finite(answer)


def numbers_are_finite(value: object) -> bool:
    match value:
        case dict():
            return all(numbers_are_finite(one) for one in value.values())
        case list():
            return all(numbers_are_finite(one) for one in value)
        case float():
            return math.isfinite(value)
        case _:
            return True
