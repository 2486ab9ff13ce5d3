"""Mornings: once per local day, at the chosen hour, wherever and whatever happens.

The rules are the contract's: an hour that does not exist comes at the first instant after the gap,
one that comes twice at the first; three silent mornings, one kind line, then quiet.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo, available_timezones

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.culture.fold import extend
from bot.culture.journal import (
    Began,
    Ended,
    Event,
    MorningsSet,
    NextChosen,
    Paused,
    Prompted,
    Resumed,
    Stopped,
    Wrote,
    ZoneSet,
)
from bot.culture.journal import Entry as JournalEntry
from bot.culture.state import Dossier
from bot.plan.mornings import Due, KindLine, Morning, due, morning_instant, next_morning
from bot.plan.zones import zone_info

OSLO = ZoneInfo("Europe/Oslo")
MONDAY = date(2026, 3, 2)
DAY = timedelta(days=1)


class Life:
    """One person's journal, written line by line, and the mornings that came of it."""

    def __init__(
        self,
        *,
        zone: str = "Europe/Oslo",
        at: time = time(8),
        started: tuple[datetime, ...] = (datetime(2026, 3, 2, 9, tzinfo=OSLO),),
    ) -> None:
        self.dossier = Dossier(person_key="p")
        first = min(started)
        self.note(first, ZoneSet(zone=zone))
        self.note(first, MorningsSet(at=at))
        for number, mixed in enumerate(started, 1):
            began = Began(name=f"Jar {number}", flour="rye", method="full", started_at=mixed)
            self.note(first, began, f"c{number}")

    def note(self, at: datetime, event: Event, culture: str | None = None) -> None:
        number = self.dossier.last_number + 1
        entry = JournalEntry(number=number, at=at, event=event, culture=culture)
        self.dossier = extend(self.dossier, [entry])

    def send(self, now: datetime) -> Due | None:
        """Say what is due, as the coach does; None when nothing is."""
        what = due(self.dossier, now)
        match what:
            case Morning():
                for key in what.cultures:
                    self.note(now, Prompted(prompt="morning", local_day=what.local_day), key)
            case KindLine():
                self.note(now, Prompted(prompt="kind-line", local_day=what.local_day))
            case None:
                pass
        return what

    def live(
        self, start: datetime, end: datetime, *, answers: bool = True
    ) -> list[tuple[datetime, Due]]:
        """Let the time pass with the bot awake; whoever answers writes a minute after each prompt."""
        sent = []
        now = start
        while (at := next_morning(self.dossier, now)) is not None and max(at, now) <= end:
            now = max(at, now)
            what = self.send(now)
            assert what is not None
            sent.append((now, what))
            if answers:
                now += timedelta(minutes=1)
                self.note(now, Wrote())
        return sent


def in_oslo(day: int, hour: int = 8, minute: int = 0, *, month: int = 3) -> datetime:
    return datetime(2026, month, day, hour, minute, tzinfo=OSLO)


# The instant of a morning


def test_an_hour_that_does_not_exist_comes_at_the_first_instant_after_the_gap() -> None:
    instant = morning_instant(date(2026, 3, 29), time(2, 30), ZoneInfo("Europe/Berlin"))

    assert instant == datetime(2026, 3, 29, 1, 0, tzinfo=UTC)
    assert instant.astimezone(ZoneInfo("Europe/Berlin")).time() == time(3)


def test_an_hour_that_comes_twice_counts_the_first_time() -> None:
    instant = morning_instant(date(2026, 10, 25), time(2, 30), ZoneInfo("Europe/Berlin"))

    assert instant == datetime(2026, 10, 25, 0, 30, tzinfo=UTC)


def test_a_gap_of_half_an_hour_is_left_at_its_end() -> None:
    lord_howe = ZoneInfo("Australia/Lord_Howe")

    instant = morning_instant(date(2026, 10, 4), time(2, 10), lord_howe)

    assert instant.astimezone(lord_howe).time() == time(2, 30)


def test_a_gap_that_ends_the_day_is_left_at_midnight() -> None:
    nuuk = ZoneInfo("America/Nuuk")

    instant = morning_instant(date(2026, 3, 28), time(23, 30), nuuk)

    assert instant == datetime(2026, 3, 29, 1, 0, tzinfo=UTC)
    assert instant.astimezone(nuuk).time() == time(0)


def _zones() -> list[str]:
    keys = sorted(key for key in available_timezones() if "/" in key and not key.startswith("Etc/"))
    assert len(keys) >= 400
    return keys


def _changes(zone: ZoneInfo) -> list[date]:
    """The local days of 2026 and 2027 on which the clocks change; the year's ends when none do."""
    days = [date(2026, 1, 1) + number * DAY for number in range(731)]
    noon = [datetime.combine(day, time(12), zone).utcoffset() for day in days]
    changed = [day for day, (old, new) in zip(days[1:], pairwise(noon), strict=True) if old != new]
    return changed or [date(2026, 1, 1), date(2027, 12, 31)]


def test_in_every_zone_and_at_every_change_of_the_clocks_a_morning_is_the_first_instant_not_before_its_hour() -> (
    None
):
    hours = [time(0), time(1, 30), time(2), time(2, 30), time(3), time(8), time(23, 30)]
    checked = 0
    for key in _zones():
        zone = ZoneInfo(key)
        for change in _changes(zone):
            for day in (change - DAY, change, change + DAY):
                for hour in hours:
                    wanted = datetime.combine(day, hour)

                    instant = morning_instant(day, hour, zone)

                    assert instant.astimezone(zone).replace(tzinfo=None) >= wanted, (key, wanted)
                    for minutes in (1 / 60, 15, 30, 60, 90, 120, 180):
                        before = instant - timedelta(minutes=minutes)
                        assert before.astimezone(zone).replace(tzinfo=None) < wanted, (key, wanted)
                    checked += 1
    assert checked > 10_000


@pytest.mark.parametrize("hour", [time(8), time(2, 30)])
def test_in_every_zone_each_local_day_round_a_change_of_the_clocks_has_one_morning_at_its_hour(
    hour: time,
) -> None:
    for key in _zones():
        zone = ZoneInfo(key)
        for change in _changes(zone):
            first, last = change - 3 * DAY, change + 3 * DAY
            mixed = datetime.combine(first - DAY, time(12), zone)
            life = Life(zone=key, at=hour, started=(mixed,))

            sent = life.live(mixed, datetime.combine(last, time(12), zone))

            assert [what.local_day for _, what in sent] == [first + n * DAY for n in range(7)], key
            at = [when.astimezone(zone).replace(tzinfo=None) for when, _ in sent]
            assert [when.date() for when in at] == [what.local_day for _, what in sent], key
            # Only the one night whose half past two is left out may have its morning later.
            later = [when for when in at if when.time() != hour]
            assert len(later) <= 1 and all(when.time() <= time(3) for when in later), key
            assert hour == time(2, 30) or not later, key


def test_a_day_that_a_land_leaves_out_has_no_morning() -> None:
    # Samoa crossed the date line at the end of 29 December 2011 (IANA tz database, Pacific/Apia).
    apia = ZoneInfo("Pacific/Apia")
    life = Life(zone="Pacific/Apia", started=(datetime(2011, 12, 27, 9, tzinfo=apia),))

    sent = life.live(datetime(2011, 12, 27, 9, tzinfo=apia), datetime(2012, 1, 1, 9, tzinfo=apia))

    assert [what.local_day.day for _, what in sent] == [28, 29, 31, 1]


def test_a_zone_may_be_an_offset_of_a_quarter_hour() -> None:
    life = Life(zone="+05:45", started=(in_oslo(2),))

    at = next_morning(life.dossier, in_oslo(2, 10))

    assert at == datetime(2026, 3, 3, 2, 15, tzinfo=UTC)


# Which mornings there are


def test_the_first_morning_is_the_day_after_the_first_mix_even_when_that_was_early() -> None:
    life = Life(started=(in_oslo(2, 6),))

    assert next_morning(life.dossier, in_oslo(2, 6, 1)) == in_oslo(3)


def test_a_jar_told_of_days_after_its_first_mix_has_its_first_morning_the_next_day() -> None:
    life = Life()
    began = Began(name="Older", flour="rye", method="full", started_at=in_oslo(3))
    life.live(in_oslo(2), in_oslo(5, 9))
    life.note(in_oslo(5, 10), began, "c2")

    assert due(life.dossier, in_oslo(5, 10)) is None
    assert life.send(in_oslo(6)) == Morning(local_day=date(2026, 3, 6), cultures=("c1", "c2"))


def test_whoever_tells_hour_and_zone_after_the_hour_starts_tomorrow() -> None:
    dossier = Dossier(person_key="p")
    told: list[tuple[datetime, Event, str | None]] = [
        (in_oslo(2), Began(name="Jar", flour="rye", method="full", started_at=in_oslo(2)), "c1"),
        (in_oslo(4, 10), ZoneSet(zone="Europe/Oslo"), None),
        (in_oslo(4, 10), MorningsSet(at=time(8)), None),
    ]
    for number, (at, event, culture) in enumerate(told, 1):
        entry = JournalEntry(number=number, at=at, event=event, culture=culture)
        dossier = extend(dossier, [entry])

    assert next_morning(dossier, in_oslo(4, 10)) == in_oslo(5)


def test_each_jar_has_its_morning_and_all_come_together() -> None:
    life = Life(started=(in_oslo(2), in_oslo(4, 20)))

    sent = [what for _, what in life.live(in_oslo(2), in_oslo(6, 9))]

    assert [what.cultures for what in sent if isinstance(what, Morning)] == [
        ("c1",), ("c1",), ("c1", "c2"), ("c1", "c2"),
    ]  # fmt: skip


def test_a_jar_thrown_away_has_no_mornings() -> None:
    life = Life()
    life.note(in_oslo(3, 9), Ended(reason="binned"), "c1")

    assert next_morning(life.dossier, in_oslo(3, 10)) is None


def test_a_jar_not_mixed_yet_is_asked_after_the_next_morning() -> None:
    life = Life()
    life.note(in_oslo(2), Ended(reason="binned"), "c1")
    life.note(in_oslo(2, 19), Began(name="Later", flour="rye", method="full"), "c2")

    assert next_morning(life.dossier, in_oslo(2, 20)) == in_oslo(3)


@pytest.mark.parametrize(
    ("choice", "next_on"), [("bake", None), ("rest", in_oslo(16)), ("counter", in_oslo(9))]
)
def test_a_ready_jar_has_no_mornings_while_it_bakes_weekly_ones_in_the_cold_daily_ones_else(
    choice: str, next_on: datetime | None
) -> None:
    life = Life()
    life.note(in_oslo(9, 9), NextChosen(choice=choice), "c1")  # type: ignore[arg-type]

    assert next_morning(life.dossier, in_oslo(9, 10)) == next_on


def test_nobody_without_a_zone_or_an_hour_is_written_to() -> None:
    dossier = Dossier(person_key="p")
    began = Began(name="Jar", flour="rye", method="full", started_at=in_oslo(2))
    dossier = extend(dossier, [JournalEntry(number=1, at=in_oslo(2), event=began, culture="c1")])

    assert next_morning(dossier, in_oslo(3)) is None


# A bot that was off, and clocks that are wrong


@pytest.mark.parametrize("hour", [9, 12, 20])
def test_a_morning_that_is_late_by_hours_still_comes_with_its_own_day(hour: int) -> None:
    life = Life()

    assert life.send(in_oslo(3, hour)) == Morning(local_day=date(2026, 3, 3), cultures=("c1",))


def test_late_past_the_evening_it_is_folded_into_the_next_morning() -> None:
    life = Life()

    assert life.send(in_oslo(3, 21)) is None
    assert next_morning(life.dossier, in_oslo(3, 21)) == in_oslo(4)


def test_after_days_without_the_bot_only_today_comes() -> None:
    life = Life()

    sent = life.live(in_oslo(7, 10), in_oslo(7, 23))

    assert [what.local_day.day for _, what in sent] == [7]


def test_an_evening_morning_may_be_late_too() -> None:
    life = Life(at=time(22, 30))

    assert life.send(in_oslo(4, 1)) == Morning(local_day=date(2026, 3, 3), cultures=("c1",))
    assert life.send(in_oslo(4, 2)) is None


def test_a_clock_set_back_sends_nothing_twice() -> None:
    life = Life()
    life.send(in_oslo(3, 8))

    assert life.send(in_oslo(3, 7)) is None
    assert life.send(in_oslo(3, 8)) is None
    assert next_morning(life.dossier, in_oslo(3, 7)) == in_oslo(4)


def test_a_clock_once_far_ahead_does_not_silence_the_days_between() -> None:
    life = Life()
    life.send(in_oslo(20, 8))
    life.note(in_oslo(5, 7), Wrote())

    assert next_morning(life.dossier, in_oslo(5, 7, 1)) == in_oslo(5)


# Travel, and other hours


def test_whoever_flies_west_gets_no_day_twice() -> None:
    auckland, honolulu = ZoneInfo("Pacific/Auckland"), ZoneInfo("Pacific/Honolulu")
    life = Life(zone="Pacific/Auckland", started=(datetime(2026, 3, 2, 9, tzinfo=auckland),))
    life.live(datetime(2026, 3, 2, 9, tzinfo=auckland), datetime(2026, 3, 5, 9, tzinfo=auckland))
    life.note(datetime(2026, 3, 4, 14, tzinfo=honolulu), ZoneSet(zone="Pacific/Honolulu"))

    sent = life.live(
        datetime(2026, 3, 4, 14, tzinfo=honolulu), datetime(2026, 3, 8, 9, tzinfo=honolulu)
    )

    assert [what.local_day.day for _, what in sent] == [6, 7, 8]
    assert {at.astimezone(honolulu).time() for at, _ in sent} == {time(8)}


def test_whoever_flies_east_gets_each_new_day_at_the_new_hour() -> None:
    tokyo = ZoneInfo("Asia/Tokyo")
    life = Life()
    life.live(in_oslo(2), in_oslo(4, 9))
    life.note(in_oslo(4, 12), ZoneSet(zone="Asia/Tokyo"))

    sent = life.live(in_oslo(4, 12), in_oslo(7, 9))

    assert [at for at, _ in sent] == [datetime(2026, 3, day, 8, tzinfo=tokyo) for day in (5, 6, 7)]


def test_a_later_hour_chosen_before_today_s_morning_holds_today() -> None:
    life = Life()
    life.note(in_oslo(3, 7), MorningsSet(at=time(10)))

    assert next_morning(life.dossier, in_oslo(3, 7)) == in_oslo(3, 10)


def test_an_hour_chosen_after_today_s_morning_holds_from_tomorrow() -> None:
    life = Life()
    life.live(in_oslo(2), in_oslo(3, 8, 5))
    life.note(in_oslo(3, 8, 20), MorningsSet(at=time(7)))

    assert next_morning(life.dossier, in_oslo(3, 8, 20)) == in_oslo(4, 7)


@settings(max_examples=60, deadline=None)
@given(
    zones=st.lists(
        st.sampled_from(
            ["Europe/Oslo", "Asia/Kathmandu", "Pacific/Kiritimati", "Pacific/Pago_Pago",
             "America/St_Johns", "Australia/Lord_Howe", "-12:00", "+14:00"]
        ),
        max_size=5,
    ),
    hours=st.lists(st.integers(0, 23), max_size=3),
    steps=st.lists(st.integers(-200, 2000), min_size=5, max_size=40),
)  # fmt: skip
def test_no_journey_no_new_hour_and_no_wrong_clock_brings_one_jar_one_day_twice(
    zones: list[str], hours: list[int], steps: list[int]
) -> None:
    life = Life()
    now = in_oslo(2, 9)
    changes: list[Event] = [ZoneSet(zone=zone) for zone in zones]
    changes += [MorningsSet(at=time(hour)) for hour in hours]
    for number, minutes in enumerate(steps):
        now += timedelta(minutes=minutes)
        if number % 3 == 0 and changes:
            life.note(now, changes.pop())
        life.note(now, Wrote())
        what = life.send(now)
        if what is not None:
            zone = life.dossier.person.zone
            assert zone is not None
            assert what.local_day in (
                now.astimezone(zone_info(zone)).date(),
                now.astimezone(zone_info(zone)).date() - DAY,
            )

    days = life.dossier.cultures[0].mornings
    assert len(days) == len(set(days))


# Silence


def test_three_silent_mornings_then_one_kind_line_then_quiet() -> None:
    life = Life()

    sent = life.live(in_oslo(2), in_oslo(20), answers=False)

    assert [(at, what.kind) for at, what in sent] == [
        (in_oslo(3), "morning"),
        (in_oslo(4), "morning"),
        (in_oslo(5), "morning"),
        (in_oslo(6), "kind-line"),
    ]
    assert next_morning(life.dossier, in_oslo(20)) is None


def test_silence_is_counted_in_days_whatever_the_number_of_jars() -> None:
    life = Life(started=(in_oslo(2), in_oslo(2)))

    sent = life.live(in_oslo(2), in_oslo(20), answers=False)

    assert [what.kind for _, what in sent] == ["morning", "morning", "morning", "kind-line"]


def test_one_word_ends_the_silence_and_the_next_morning_comes() -> None:
    life = Life()
    life.live(in_oslo(2), in_oslo(20), answers=False)
    life.note(in_oslo(25, 10), Wrote())

    assert due(life.dossier, in_oslo(25, 10)) is None
    assert next_morning(life.dossier, in_oslo(25, 10)) == in_oslo(26)


def test_a_word_before_the_kind_line_starts_the_count_again() -> None:
    life = Life()
    life.live(in_oslo(2), in_oslo(5, 9), answers=False)
    life.note(in_oslo(5, 20), Wrote())

    sent = life.live(in_oslo(5, 20), in_oslo(9, 23), answers=False)

    assert [what.kind for _, what in sent] == ["morning", "morning", "morning", "kind-line"]


# Stop, pause, go on


def test_stop_means_no_morning_at_all() -> None:
    life = Life()
    life.note(in_oslo(4, 8, 10), Stopped())

    assert next_morning(life.dossier, in_oslo(4, 8, 10)) is None


def test_a_pause_until_monday_ends_with_monday_s_morning() -> None:
    life = Life()
    life.note(in_oslo(4, 9), Paused(until=date(2026, 3, 9)))

    assert next_morning(life.dossier, in_oslo(4, 9)) == in_oslo(9)


def test_a_pause_without_an_end_lasts_until_told_to_go_on() -> None:
    life = Life()
    life.note(in_oslo(4, 9), Paused(until=None))
    life.note(in_oslo(5, 9), Wrote())
    assert next_morning(life.dossier, in_oslo(5, 9)) is None

    life.note(in_oslo(6, 10), Resumed())

    assert next_morning(life.dossier, in_oslo(6, 10)) == in_oslo(7)


def test_whoever_goes_on_before_the_hour_has_a_morning_the_same_day() -> None:
    life = Life()
    life.note(in_oslo(4, 9), Stopped())
    life.note(in_oslo(6, 7), Resumed())

    assert next_morning(life.dossier, in_oslo(6, 7)) == in_oslo(6)
