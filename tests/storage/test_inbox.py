"""Updates are durable before they are acknowledged, in order within a chat, and never lost."""

from __future__ import annotations

import asyncio

from bot.delivery.ports import Inbound
from storage import open_store
from storage.inbox import MOST_CLAIMS
from storage.store import SqlStore
from tests.post import CLAIM, HOUR, MONDAY, SECOND, inbound, keep


async def take(store: SqlStore, *, after: float = 0, limit: int = 99) -> list[str]:
    now = MONDAY + after * SECOND
    return [one.key for one in await store.take_inbound(now=now, claim_for=CLAIM, limit=limit)]


async def test_an_update_comes_back_as_it_was_received(store: SqlStore) -> None:
    received = inbound(1, text="an unfed jar")

    await store.receive([received])

    assert await store.take_inbound(now=MONDAY, claim_for=CLAIM, limit=1) == [received]


async def test_a_redelivered_update_changes_nothing(store: SqlStore) -> None:
    assert await store.receive([inbound(1), inbound(2)]) == 2
    assert await store.receive([inbound(2), inbound(3), inbound(3)]) == 1


async def test_a_redelivered_update_is_not_handled_again(store: SqlStore) -> None:
    await store.receive([inbound(1)])
    await take(store)
    await keep(store, cause="u:1")

    await store.receive([inbound(1)])

    assert await take(store, after=3600) == []


async def test_an_update_in_hand_is_taken_by_nobody_else(store: SqlStore) -> None:
    await store.receive([inbound(1)])

    assert await take(store) == ["u:1"]
    assert await take(store, after=14) == []


async def test_a_claim_ends_so_that_a_dead_process_is_covered(store: SqlStore) -> None:
    await store.receive([inbound(1)])
    await take(store)

    assert await take(store, after=15) == ["u:1"]


async def test_a_chat_has_one_update_in_hand_and_the_oldest_first(store: SqlStore) -> None:
    await store.receive([inbound(1), inbound(2), inbound(3, chat="ben")])

    assert await take(store) == ["u:1", "u:3"]
    await keep(store, cause="u:1")
    assert await take(store) == ["u:2"]


async def test_an_update_that_overtook_another_on_the_way_waits_for_it(store: SqlStore) -> None:
    await store.receive([inbound(2)])
    await store.receive([inbound(1)])

    assert await take(store) == ["u:1"]


async def test_a_failed_update_waits_and_holds_its_own_chat_only(store: SqlStore) -> None:
    await store.receive([inbound(1), inbound(2), inbound(3, chat="ben")])
    await take(store)

    assert await store.fail_inbound("u:1", now=MONDAY, why="KeyError", retry_at=MONDAY + SECOND)

    assert await take(store) == []
    assert await take(store, after=1) == ["u:1"]


async def test_after_three_failures_an_update_is_set_aside_and_its_chat_goes_on(
    store: SqlStore,
) -> None:
    await store.receive([inbound(1), inbound(2)])

    outcomes = []
    for _ in range(3):
        await take(store)
        outcomes.append(
            await store.fail_inbound("u:1", now=MONDAY, why="KeyError", retry_at=MONDAY)
        )

    assert outcomes == [True, True, False]
    assert [(one.key, one.why) for one in await store.set_aside()] == [("u:1", "KeyError")]
    assert await take(store) == ["u:2"]


async def test_an_operator_can_let_an_update_be_tried_again(store: SqlStore) -> None:
    await store.receive([inbound(1)])
    for _ in range(3):
        await take(store)
        await store.fail_inbound("u:1", now=MONDAY, why="KeyError", retry_at=MONDAY)

    assert await store.try_again("u:1")

    assert not await store.try_again("u:1")
    assert await take(store) == ["u:1"]
    assert await store.set_aside() == []


async def test_an_update_that_kills_its_process_is_set_aside_in_the_end(store: SqlStore) -> None:
    await store.receive([inbound(1)])
    for claim in range(MOST_CLAIMS):
        assert await take(store, after=claim * 20) == ["u:1"]

    assert await take(store, after=MOST_CLAIMS * 20) == []

    assert [one.key for one in await store.set_aside()] == ["u:1"]


async def test_a_claim_by_a_clock_that_ran_ahead_does_not_hold_for_hours(store: SqlStore) -> None:
    await store.receive([inbound(1)])
    await store.take_inbound(now=MONDAY + HOUR, claim_for=CLAIM, limit=1)

    assert await take(store) == ["u:1"]


async def test_waits_of_a_clock_that_ran_ahead_are_forgotten_when_it_is_set_back(
    store: SqlStore,
) -> None:
    await store.receive([inbound(1)])
    await store.fail_inbound("u:1", now=MONDAY, why="KeyError", retry_at=MONDAY + HOUR)

    await store.clock_set_back(now=MONDAY)

    assert await take(store) == ["u:1"]


async def test_the_next_thing_due_is_a_waiting_update_or_the_end_of_a_wait(
    store: SqlStore,
) -> None:
    assert await store.next_due() is None
    await store.receive([inbound(1), inbound(2)])
    await store.fail_inbound("u:1", now=MONDAY, why="KeyError", retry_at=MONDAY + HOUR)

    assert await store.next_due() == MONDAY + HOUR


async def test_processes_share_the_chats_and_none_is_taken_twice(database_url: str) -> None:
    stores = [await open_store(database_url) for _ in range(3)]
    await stores[0].receive([inbound(n, chat=f"chat {n % 30}") for n in range(300)])
    handled: list[tuple[str, str]] = []

    async def work(store: SqlStore) -> None:
        while taken := await store.take_inbound(now=MONDAY, claim_for=CLAIM, limit=7):
            await asyncio.gather(*(handle(store, one) for one in taken))

    async def handle(store: SqlStore, one: Inbound) -> None:
        assert await keep(store, person=one.chat, cause=one.key, texts=()) == "kept"
        handled.append((one.chat, one.key))

    while len(handled) < 300:
        await asyncio.gather(*(work(store) for store in stores))

    for chat in {chat for chat, _ in handled}:
        numbers = [int(key[2:]) for name, key in handled if name == chat]
        assert numbers == sorted(numbers)
    assert len(set(handled)) == len(handled) == 300
    for store in stores:
        await store.close()
