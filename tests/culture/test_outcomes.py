"""Feeds and the rises seen after them, put together the way people tell of them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from bot.culture.fold import fold
from bot.culture.journal import Began, Entry, KitchenSet, Reported
from bot.culture.outcomes import Outcome, observations, outcomes
from bot.culture.vocabulary import Fed, Moved, Rise, Signs, Surface

MIXED = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
DOUBLED = Rise(ratio=2.0, low=2.0, high=2.0)
HALF_UP = Rise(ratio=1.5, low=1.5, high=1.5)
NOT_DOUBLED = Rise(ratio=1.5, low=1.0, high=2.0)


def told(
    day: int,
    hour: float,
    rise: Rise | None = None,
    *,
    hours: float | None = None,
    acts: tuple[Fed | Moved, ...] = (),
    surface: Surface | None = None,
) -> tuple[datetime, Reported]:
    """A message on that day (1 is the day of the mix) at that hour."""
    at = MIXED.replace(hour=0) + timedelta(days=day - 1, hours=hour)
    return at, Reported(text="", signs=Signs(rise=rise, hours=hours, surface=surface), acts=acts)


def came_to(*messages: tuple[datetime, Reported]) -> tuple[Outcome, ...]:
    began = Began(name="Biscuit", flour="white", method="full", started_at=MIXED)
    entries = [
        Entry(number=1, at=MIXED, event=KitchenSet(celsius=23.0)),
        Entry(number=2, at=MIXED, event=began, culture="c1"),
        *(
            Entry(number=3 + index, at=at, event=report, culture="c1")
            for index, (at, report) in enumerate(messages)
        ),
    ]
    return outcomes(fold("p", entries).cultures[0])


FED = Fed()


def test_doubled_in_six_hours_implies_a_feed_six_hours_ago() -> None:
    (outcome,) = came_to(told(8, 14.0, DOUBLED, hours=6.0))

    assert outcome.fed_at == MIXED.replace(hour=0) + timedelta(days=7, hours=8)
    assert (outcome.hours, outcome.when, outcome.told) == (6.0, "at", False)
    assert outcome.celsius == 23.0


def test_three_such_reports_are_three_feeds() -> None:
    found = came_to(
        told(8, 14.2, DOUBLED, hours=6.0),
        told(9, 13.5, DOUBLED, hours=5.5),
        told(10, 13.2, DOUBLED, hours=5.0),
    )

    assert [outcome.hours for outcome in found] == [6.0, 5.5, 5.0]


def test_doubled_and_fed_is_about_the_feed_before() -> None:
    (outcome,) = came_to(told(8, 20.0, acts=(FED,)), told(9, 8.0, DOUBLED, acts=(FED,)))

    assert outcome.fed_at == MIXED.replace(hour=0) + timedelta(days=7, hours=20)
    assert (outcome.hours, outcome.when) == (12.0, "by")


def test_a_feed_told_together_with_what_came_of_it() -> None:
    fed_at = MIXED.replace(hour=0) + timedelta(days=7, hours=8)

    (outcome,) = came_to(told(8, 14.0, DOUBLED, acts=(Fed(at=fed_at, ratio=(1, 2, 2)),)))

    assert (outcome.fed_at, outcome.ratio, outcome.hours) == (fed_at, (1, 2, 2), 6.0)


def test_two_looks_at_one_feed_are_one_outcome_the_better_one() -> None:
    (outcome,) = came_to(
        told(8, 8.0, acts=(FED,)),
        told(8, 12.0, NOT_DOUBLED),
        told(8, 15.0, DOUBLED),
    )

    assert (outcome.rise.middle, outcome.hours, outcome.when) == (2.0, 7.0, "by")
    assert [look.when for look in outcome.looks] == ["not-by", "by"]


def test_the_same_doubling_told_again_in_the_evening_is_not_a_second_one() -> None:
    found = came_to(
        told(8, 14.0, DOUBLED, hours=6.0), told(8, 18.0, DOUBLED, hours=6.0, surface="fallen")
    )

    assert len(found) == 1


def test_a_rise_long_after_the_last_told_feed_has_no_time() -> None:
    (outcome,) = came_to(told(3, 8.0, acts=(FED,)), told(8, 8.0, DOUBLED))

    assert (outcome.fed_at, outcome.hours, outcome.told) == (None, None, False)


def test_doubled_every_morning_without_a_word_of_feeds_is_one_outcome_a_day() -> None:
    found = came_to(told(8, 8.0, DOUBLED), told(9, 8.0, DOUBLED), told(10, 8.0, DOUBLED))

    assert [outcome.hours for outcome in found] == [None, None, None]


def test_not_doubled_says_not_by() -> None:
    (outcome,) = came_to(told(8, 8.0, acts=(FED,)), told(8, 12.0, NOT_DOUBLED))

    assert (outcome.when, outcome.hours) == ("not-by", 4.0)


def test_the_first_mix_is_a_feed_too() -> None:
    (outcome,) = came_to(told(2, 8.0, DOUBLED))

    assert (outcome.fed_at, outcome.hours, outcome.ratio) == (MIXED, 24.0, None)


def test_a_night_in_the_fridge_leaves_the_warmth_unknown() -> None:
    (outcome,) = came_to(told(8, 20.0, acts=(FED, Moved(to="fridge"))), told(9, 8.0, HALF_UP))

    assert outcome.celsius is None
    assert observations([outcome]) == ()


def test_half_a_rise_teaches_that_it_got_there_and_no_further() -> None:
    (outcome,) = came_to(told(8, 8.0, acts=(FED,)), told(8, 16.0, HALF_UP))

    taught = observations([outcome])

    assert [(seen.rise, seen.when) for seen in taught] == [
        (1.5, "by"),
        (pytest.approx(1.725), "not-by"),
    ]


def test_half_a_rise_that_has_fallen_may_have_been_more() -> None:
    (outcome,) = came_to(told(8, 8.0, acts=(FED,)), told(8, 20.0, HALF_UP, surface="fallen"))

    assert [seen.when for seen in observations([outcome])] == ["by"]


def test_a_culture_of_which_nothing_was_seen_has_no_outcomes() -> None:
    assert came_to(told(2, 8.0, acts=(FED,))) == ()
