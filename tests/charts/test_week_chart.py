"""A week told in the journal, as the values and the words of its picture."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter

from bot.culture.vocabulary import Fed, Moved, Signs, Temperature
from bot.voice.chart import Chart
from bot.voice.message import Message
from bot.voice.week_chart import week_chart
from tests.charts.weeks import Kitchen, first_week, grown_week, seen, spoiled_week, untold_week


def chart_of(kitchen: Kitchen, day: int, clock: str) -> Chart:
    return week_chart(kitchen.dossier, kitchen.jar, kitchen.at(day, clock))


def lane(chart: Chart, label: str) -> list[tuple[float, str]]:
    (found,) = (row for row in chart.lanes if row.label == label)
    return [(mark.at_h, mark.word) for mark in found.marks]


def test_the_first_week_is_days_one_to_seven_even_on_day_three() -> None:
    chart = chart_of(first_week(), 3, "12:00")

    assert [day.number for day in chart.days] == ["1", "2", "3", "4", "5", "6", "7"]
    assert [day.is_today for day in chart.days].index(True) == 2
    assert chart.now_h == pytest.approx(60.0)


def test_later_weeks_are_the_seven_days_that_end_today() -> None:
    chart = chart_of(grown_week(), 30, "21:30")

    assert [day.number for day in chart.days] == ["24", "25", "26", "27", "28", "29", "30"]
    assert chart.name == "week-c1-2026-03-31-2130"


def test_what_comes_later_than_now_is_not_shown() -> None:
    chart = chart_of(first_week(), 3, "12:00")

    assert max(at for at, _ in lane(chart, "fed")) <= 60.0
    assert all(risen.at_h <= 60.0 for risen in chart.risen)


def test_the_night_the_clocks_go_forward_makes_a_column_of_23_hours() -> None:
    kitchen = Kitchen(day_one=date(2026, 3, 26))  # Oslo: 29 March 2026, 02:00 to 03:00

    widths = [day.to_h - day.from_h for day in chart_of(kitchen, 5, "12:00").days]

    assert widths == [24.0, 24.0, 24.0, 23.0, 24.0, 24.0, 24.0]


def test_the_lull_expects_next_to_nothing_and_the_early_gas_expects_anything() -> None:
    # F-218, common practice: days 2-3 a ratio of 1.0 to 3.0, day 4 1.0 to 1.3, at 21-25 °C.
    kitchen = Kitchen(celsius=23.0)
    for day in range(2, 6):
        kitchen.tell(day, "09:00", Signs(), Fed())

    bands = [
        (expected.points[0].low, expected.points[0].high)
        for expected in chart_of(kitchen, 5, "20:00").expected
    ]

    assert bands[:4] == [(1.0, 1.2), (1.0, 3.0), (1.0, 3.0), (1.0, 1.3)]


def test_a_steady_culture_is_expected_to_double_and_fall_again() -> None:
    chart = chart_of(grown_week(), 30, "21:30")
    whole = max(chart.expected, key=lambda expected: len(expected.points))
    middles = [point.median for point in whole.points if point.median is not None]

    assert max(middles) > 2.0
    assert middles[0] == 1.0
    assert middles[-1] < max(middles)


def test_a_colder_kitchen_is_expected_to_peak_later() -> None:
    peaks = []
    for celsius in (19.0, 25.0):
        kitchen = Kitchen(celsius=celsius)
        for day in range(2, 41):
            kitchen.tell(day, "08:00", Signs(), Fed(ratio=(1.0, 2.0, 2.0)))
        last = chart_of(kitchen, 40, "23:00").expected[-2]
        top = max(last.points, key=lambda point: point.median or 0.0)
        peaks.append(top.at_h - last.points[0].at_h)

    assert peaks[0] > 1.5 * peaks[1]


def test_without_a_warmth_a_steady_culture_has_no_expectation() -> None:
    kitchen = Kitchen(celsius=None)
    for day in range(2, 31):
        kitchen.tell(day, "08:00", Signs(), Fed())

    chart = chart_of(kitchen, 30, "12:00")

    assert chart.expected == ()
    assert chart.warmth == ()


def test_nothing_is_expected_of_a_jar_in_the_fridge() -> None:
    chart = chart_of(grown_week(), 30, "21:30")
    (stay,) = chart.stays

    for expected in chart.expected:
        inside = [p for p in expected.points if stay.from_h < p.at_h < stay.to_h]
        assert inside == []


def test_a_rise_stands_at_its_hour_after_the_feed() -> None:
    kitchen = Kitchen()
    kitchen.tell(6, "08:00", Signs(), Fed())
    kitchen.tell(6, "20:00", seen(2.0, hours=7.0))

    (risen,) = chart_of(kitchen, 6, "21:00").risen

    assert (risen.at_h, risen.ratio, risen.since_h) == (5 * 24 + 15.0, 2.0, None)


def test_a_rise_of_unknown_hour_is_a_stretch_from_the_feed_to_the_report() -> None:
    kitchen = Kitchen()
    kitchen.tell(6, "08:00", Signs(), Fed())
    kitchen.tell(7, "07:00", seen(2.0))

    (risen,) = chart_of(kitchen, 7, "08:00").risen

    assert (risen.since_h, risen.at_h) == (5 * 24 + 8.0, 6 * 24 + 7.0)


def test_a_warmth_holds_until_the_next_is_told() -> None:
    chart = chart_of(first_week(), 7, "18:00")

    assert [(part.celsius, part.is_told) for part in chart.warmth] == [
        (21.0, True), (19.5, True), (22.0, True), (23.0, True),
    ]  # fmt: skip
    assert all(part.to_h == following.from_h for part, following in pairwise(chart.warmth))


def test_the_warmth_of_a_starter_is_not_drawn_as_the_kitchens() -> None:
    kitchen = Kitchen(celsius=20.0)
    kitchen.tell(3, "09:00", Signs(temperature=Temperature(celsius=27.0, of="starter")))

    assert {part.celsius for part in chart_of(kitchen, 4, "09:00").warmth} == {20.0}


def test_phases_go_forward_only() -> None:
    spans = chart_of(first_week(), 7, "18:00").phases

    assert [span.phase for span in spans] == ["wetting", "early-gas", "lull", "settling"]
    assert all(a.to_h == b.from_h for a, b in pairwise(spans))


def test_mould_is_an_alarm_in_the_picture_and_in_the_words() -> None:
    chart = chart_of(spoiled_week(), 7, "18:30")
    alarms = [mark.word for row in chart.lanes for mark in row.marks if mark.symbol == "alarm"]

    assert alarms == ["mould"]
    assert "Take care: mould on day 7." in chart.alt


def test_a_rotten_smell_is_an_alarm_from_day_five_on_only() -> None:
    # F-057: a foul smell on the first days comes from bacteria that the acid soon ends.
    early, late = Kitchen(), Kitchen()
    early.tell(3, "09:00", seen(smell=("rotten",)))
    late.tell(5, "09:00", seen(smell=("rotten",)))

    assert "Take care" not in chart_of(early, 3, "10:00").alt
    assert "Take care: rotten on day 5." in chart_of(late, 5, "10:00").alt


def test_a_hundred_reports_a_day_leave_one_mark_of_a_kind() -> None:
    kitchen = Kitchen()
    for minute in range(50):
        kitchen.tell(2, f"10:{minute:02d}", seen(bubbles="some", smell=("sour",), liquid=True))

    chart = chart_of(kitchen, 2, "12:00")

    assert [len(row.marks) for row in chart.lanes] == [1, 1, 1, 1]


def test_the_words_say_what_the_picture_shows() -> None:
    assert chart_of(first_week(), 7, "18:00").alt == (
        "Biscuit. Days 1 to 7, 2–8 Mar. Likely phase now: yeast comes. Fed 7 times. "
        "Rises: day 2 no rise (1 to 1.2 expected); day 3 2.4 times its height (1 to 3 expected); "
        "day 4 no rise (1 to 3 expected); day 5 no rise (1 to 3 expected); "
        "day 6 1.3 times its height (1 to 1.3 expected); day 7 doubled (1.2 to 2.2 expected). "
        "Kitchen: 20–23 °C. Smell: floury on day 2, cheesy on days 3 and 4, sour on days 5 and 6, "
        "fruity on day 7. Also: liquid on day 5."
    )


def test_the_words_name_what_is_not_known() -> None:
    assert chart_of(untold_week(), 2, "18:00").alt == (
        "Biscuit. Days 1 to 7, 2–8 Mar. Likely phase now: early gas. Fed once. "
        "No rise was told. The kitchen’s warmth was not told."
    )


def test_the_words_fit_under_a_picture_of_the_service() -> None:
    # The Bot API: a caption holds up to 1,024 characters.
    for chart in (chart_of(grown_week(), 30, "21:30"), chart_of(spoiled_week(), 7, "18:30")):
        assert len(chart.alt) <= 700


def test_a_jar_that_was_never_mixed_has_a_picture_too() -> None:
    chart = chart_of(Kitchen(mixed=None), 3, "10:00")

    assert (chart.phases, chart.expected, chart.risen) == ((), (), ())
    assert "No feed was told." in chart.alt


def test_a_chart_survives_the_outbox() -> None:
    messages: TypeAdapter[Message] = TypeAdapter(Message)
    message = Message(kind="reply", text="Your week.", chart=chart_of(grown_week(), 30, "21:30"))

    assert messages.validate_json(messages.dump_json(message)) == message


def test_the_same_week_gives_the_same_chart() -> None:
    assert chart_of(first_week(), 7, "18:00") == chart_of(first_week(), 7, "18:00")


@given(
    told=st.lists(
        st.tuples(
            st.integers(1, 20),
            st.floats(1.0, 5.0) | st.none(),
            st.floats(0.5, 60.0) | st.none(),
            st.floats(-10.0, 50.0) | st.none(),
            st.sampled_from([(), (Fed(),), (Moved(to="fridge"),), (Moved(to="counter"),)]),
        ),
        max_size=12,
    ),
    day=st.integers(1, 25),
)
@settings(max_examples=40, deadline=timedelta(seconds=2))
def test_any_history_has_a_chart_within_its_frame(
    told: list[tuple[int, float | None, float | None, float | None, tuple[Fed | Moved, ...]]],
    day: int,
) -> None:
    kitchen = Kitchen()
    for when, rise, hours, celsius, acts in sorted(told, key=lambda one: one[0]):
        kitchen.tell(when, "10:00", seen(rise, hours=hours, celsius=celsius), *acts)

    chart = chart_of(kitchen, day, "11:00")

    hours_shown = [
        *(point.at_h for expected in chart.expected for point in expected.points),
        *(risen.at_h for risen in chart.risen),
        *(mark.at_h for row in chart.lanes for mark in row.marks),
        *(part.from_h for part in chart.warmth),
        *(part.to_h for part in chart.warmth),
    ]
    assert all(-1e-6 <= hour <= chart.span_h + 1e-6 for hour in hours_shown)
    assert all(point.low <= point.high for expected in chart.expected for point in expected.points)
    assert len(chart.alt) <= 900
