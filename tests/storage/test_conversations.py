"""A conversation is loaded, decided on and kept; nothing is kept twice and nothing is lost."""

from __future__ import annotations

import asyncio
from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.culture.fold import fold
from bot.culture.journal import Entry, KitchenSet, ZoneSet
from bot.turn import Turn
from storage import open_store
from storage.payload import as_stored, instant, moment
from storage.store import SqlStore
from tests.post import CLAIM, HOUR, MONDAY, UNPACED, inbound, keep, reply, report


async def test_somebody_never_seen_has_an_empty_dossier(store: SqlStore) -> None:
    talk = await store.conversation("ada")

    assert talk.person_key == talk.chat == "ada"
    assert talk.dossier == fold("ada", ())
    assert talk.next_prompt_at is None


async def test_what_was_kept_is_there_next_time(store: SqlStore) -> None:
    at = datetime(2026, 3, 2, 8, 15, 0, 123456, timezone(timedelta(hours=5, minutes=30)))
    first = await store.conversation("ada")
    entries = (
        Entry(number=1, at=at, event=ZoneSet(zone="Asia/Kolkata")),
        Entry(number=2, at=at, event=KitchenSet(celsius=21.1)),
    )
    await store.keep(first, Turn(entries=entries, next_prompt_at=at + HOUR), now=at, cause="u:1")

    talk = await store.conversation("ada")

    assert talk.dossier == fold("ada", entries)
    assert talk.next_prompt_at == at + HOUR


async def test_what_was_kept_is_there_after_a_restart(database_url: str) -> None:
    before = await open_store(database_url)
    await keep(before, cause="u:1")
    kept = (await before.conversation("ada")).dossier
    await before.close()

    after = await open_store(database_url)

    assert (await after.conversation("ada")).dossier == kept
    await after.close()


async def test_the_same_cause_is_kept_once(store: SqlStore) -> None:
    assert await keep(store, cause="u:1") == "kept"
    assert await keep(store, cause="u:1") == "known"

    assert (await store.conversation("ada")).dossier.last_number == 1


async def test_who_loaded_before_another_turn_was_kept_is_overtaken(store: SqlStore) -> None:
    early = await store.conversation("ada")
    await keep(store, cause="u:1")

    late = await store.keep(early, Turn(entries=(report(1),)), now=MONDAY, cause="u:2")

    assert late == "overtaken"
    assert (await store.conversation("ada")).dossier.last_number == 1


async def test_an_overtaken_turn_sends_nothing(store: SqlStore) -> None:
    early = await store.conversation("ada")
    await keep(store, cause="u:1", texts=())

    await store.keep(early, Turn(messages=(reply(),)), now=MONDAY, cause="u:2")

    assert not await store.take_outgoing(now=MONDAY, claim_for=CLAIM, limit=9, pace=UNPACED)


async def test_turns_of_many_people_at_once_are_each_kept(store: SqlStore) -> None:
    people = [f"person {number}" for number in range(40)]

    outcomes = await asyncio.gather(
        *(keep(store, person=person, cause=f"u:{person}") for person in people)
    )

    assert outcomes == ["kept"] * 40
    talks = await asyncio.gather(*(store.conversation(person) for person in people))
    assert [talk.dossier.last_number for talk in talks] == [1] * 40


async def test_of_two_turns_at_once_for_one_person_one_is_overtaken(store: SqlStore) -> None:
    talk = await store.conversation("ada")
    turns = [Turn(entries=(report(1, text=text),)) for text in ("first", "second")]

    outcomes = await asyncio.gather(
        *(store.keep(talk, turn, now=MONDAY, cause=f"u:{n}") for n, turn in enumerate(turns))
    )

    assert sorted(outcomes) == ["kept", "overtaken"]


async def test_two_processes_never_both_keep_for_one_person(database_url: str) -> None:
    one, other = await open_store(database_url), await open_store(database_url)
    talks = [await one.conversation("ada"), await other.conversation("ada")]

    outcomes = await asyncio.gather(
        *(
            store.keep(talk, Turn(entries=(report(1),)), now=MONDAY, cause=f"u:{number}")
            for number, (store, talk) in enumerate(zip((one, other), talks, strict=True))
        )
    )

    assert sorted(outcomes) == ["kept", "overtaken"]
    await one.close()
    await other.close()


async def test_a_process_sees_what_another_has_kept(database_url: str) -> None:
    one, other = await open_store(database_url), await open_store(database_url)
    await keep(one, cause="u:1")
    await keep(other, cause="u:2")
    await keep(one, cause="u:3")

    assert (await other.conversation("ada")).dossier.last_number == 3
    await one.close()
    await other.close()


async def test_handling_a_message_and_keeping_its_turn_are_one(store: SqlStore) -> None:
    await store.receive([inbound(1)])

    await keep(store, cause="u:1")

    later = MONDAY + HOUR
    assert not await store.take_inbound(now=later, claim_for=CLAIM, limit=9)


async def test_a_text_no_database_can_hold_spoils_only_its_own_turn(store: SqlStore) -> None:
    ada, ben = await store.conversation("ada"), await store.conversation("ben")
    broken = Turn(entries=(report(1, text="half a \ud83d face"),))
    fine = Turn(entries=(report(1, text="nul \0 and \u202e and 🫙"),))

    outcomes = await asyncio.gather(
        store.keep(ada, broken, now=MONDAY, cause="u:1"),
        store.keep(ben, fine, now=MONDAY, cause="u:2"),
        return_exceptions=True,
    )

    assert isinstance(outcomes[0], Exception)
    assert outcomes[1] == "kept"
    reopened = (await store.conversation("ben")).dossier.journal[0]
    assert reopened.event == report(1, text="nul \0 and \u202e and 🫙").event


async def test_a_naive_time_is_refused(store: SqlStore) -> None:
    talk = await store.conversation("ada")
    naive = datetime(2026, 3, 2, 8)  # noqa: DTZ001

    with pytest.raises(ValueError, match="zone"):
        await store.keep(talk, Turn(next_prompt_at=naive), now=MONDAY, cause="u:1")


@settings(max_examples=200, suppress_health_check=[HealthCheck.too_slow], deadline=None)
@given(at=st.datetimes(timezones=st.just(UTC), min_value=datetime(1900, 1, 1)))  # noqa: DTZ001
def test_an_instant_comes_back_to_the_microsecond(at: datetime) -> None:
    assert moment(instant(at)) == at


@given(
    at=st.datetimes(
        timezones=st.integers(-14 * 3600, 14 * 3600).map(
            lambda seconds: timezone(timedelta(seconds=seconds))
        ),
        min_value=datetime(1900, 1, 1),  # noqa: DTZ001
    )
)
def test_an_entry_keeps_the_writers_own_clock(at: datetime) -> None:
    stored = as_stored(report(1, at=at))

    assert stored.at == at
    assert stored.at.utcoffset() == at.utcoffset()
