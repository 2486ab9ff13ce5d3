"""Who is due is found by an index, in a stable order, and claimed by one process only."""

from __future__ import annotations

import asyncio
from datetime import datetime

from sqlalchemy import Connection

from storage import open_store
from storage.due import _TAKE
from storage.store import SqlStore
from tests.post import CLAIM, HOUR, MONDAY, SECOND, keep


async def due(store: SqlStore, *, now: datetime = MONDAY, limit: int = 99) -> list[str]:
    return list(await store.take_due(now=now, claim_for=CLAIM, limit=limit))


async def test_nobody_is_due_before_their_instant(store: SqlStore) -> None:
    await keep(store, cause="u:1", texts=(), next_prompt_at=MONDAY + SECOND)

    assert await due(store) == []
    assert await store.next_due() == MONDAY + SECOND
    assert await due(store, now=MONDAY + SECOND) == ["ada"]


async def test_whoever_is_due_is_claimed_until_the_next_prompt_is_set(store: SqlStore) -> None:
    await keep(store, cause="u:1", next_prompt_at=MONDAY)

    assert await due(store) == ["ada"]
    assert await due(store) == []
    await keep(store, cause="prompt:ada", next_prompt_at=MONDAY + HOUR)
    assert await due(store) == []
    assert await due(store, now=MONDAY + HOUR) == ["ada"]


async def test_a_prompt_whose_process_died_is_made_by_another(store: SqlStore) -> None:
    await keep(store, cause="u:1", next_prompt_at=MONDAY)
    await due(store)

    assert await due(store, now=MONDAY + CLAIM) == ["ada"]


async def test_the_longest_due_come_first_and_the_rest_in_an_order_that_never_changes(
    store: SqlStore,
) -> None:
    for number in range(20):
        await keep(store, person=f"p{number}", cause=f"u:{number}", next_prompt_at=MONDAY)
    await keep(store, person="early", cause="u:early", next_prompt_at=MONDAY - SECOND)

    first_day = await due(store)
    for person in first_day:
        await keep(store, person=person, cause=f"p:{person}", next_prompt_at=MONDAY + HOUR)
    next_day = await due(store, now=MONDAY + HOUR)

    assert first_day[0] == "early"
    assert [person for person in next_day if person != "early"] == first_day[1:]
    assert first_day[1:] != sorted(first_day[1:])


async def test_processes_share_who_is_due(database_url: str) -> None:
    stores = [await open_store(database_url) for _ in range(3)]
    for number in range(30):
        await keep(stores[0], person=f"p{number}", cause=f"u:{number}", next_prompt_at=MONDAY)

    shares = await asyncio.gather(*(due(store, limit=10) for store in stores))
    rest = await due(stores[0])

    claimed = [person for share in (*shares, rest) for person in share]
    assert sorted(claimed) == sorted(f"p{number}" for number in range(30))
    for store in stores:
        await store.close()


async def test_a_clock_set_back_ends_claims_of_the_future(store: SqlStore) -> None:
    await keep(store, cause="u:1", next_prompt_at=MONDAY)
    await due(store, now=MONDAY + SECOND)

    await store.clock_set_back(now=MONDAY)

    assert await due(store) == ["ada"]


async def test_sqlite_finds_the_due_by_the_index(sqlite_url: str) -> None:
    store = await open_store(sqlite_url)

    def plan(connection: Connection) -> str:
        compiled = _TAKE.compile(connection)
        values = {"now": 0, "far": 0, "until": 0, "most": 1}
        ordered = tuple(values.get(name) for name in compiled.positiontup or ())
        steps = connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {compiled}", ordered)
        return str(steps.all())

    assert "USING INDEX people_due" in await store.database.run(plan)
    await store.close()
