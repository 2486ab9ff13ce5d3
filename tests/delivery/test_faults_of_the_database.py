"""The database's part of the fault matrix: locked, gone and back, full. Nothing is lost by any."""

from __future__ import annotations

import asyncio
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import timedelta
from pathlib import Path

import psycopg
import pytest
from sqlalchemy import Connection

from bot.delivery.clock import ShiftedClock
from bot.delivery.ports import Inbound
from bot.delivery.service import Service
from bot.delivery.ticker import SystemClock
from bot.errors import DatabaseAway
from storage import open_store
from storage.store import SqlStore
from tests import post
from tests.mailbox import Mailbox
from tests.parrot import PARROT
from tests.post import MONDAY, UNPACED


def inbound(number: int, *, text: str = "doubled") -> Inbound:
    return post.inbound(number, text=text, at=SystemClock().now())


def live(store: SqlStore, mailbox: Mailbox) -> Service:
    return Service(
        store=store,
        coach=PARROT,
        channel=mailbox,
        clock=SystemClock(),
        pace=UNPACED,
        seed=7,
        tick_s=0.1,
    )


@contextmanager
def locked(file: Path) -> Iterator[None]:
    """Another program that writes to the file and takes its time."""
    with closing(sqlite3.connect(file, isolation_level=None, check_same_thread=False)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield
        other.execute("ROLLBACK")


async def test_a_locked_database_is_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("storage.engine.BUSY_S", 0.05)
    store = await open_store(f"sqlite:///{tmp_path / 'jarside.db'}")
    mailbox = Mailbox(SystemClock())
    service = live(store, mailbox)
    await service.start()

    with locked(tmp_path / "jarside.db"):
        with pytest.raises(DatabaseAway, match="locked"):
            await store.receive([inbound(99)])
        receiving = asyncio.create_task(service.receive([inbound(1)]))
        await asyncio.sleep(0.5)
        assert not receiving.done()
    await receiving
    await mailbox.until(1)
    await service.stop()

    assert mailbox.texts() == ["doubled"]
    await store.close()


async def test_a_database_that_goes_and_comes_back_is_waited_for(
    postgres_server: str, postgres_url: str
) -> None:
    store = await open_store(postgres_url)
    name = store.database.url.database
    mailbox = Mailbox(SystemClock())
    service = live(store, mailbox)
    await service.start()
    await service.receive([inbound(1, text="before")])
    await mailbox.until(1)

    with psycopg.connect(postgres_server, autocommit=True) as operator:
        operator.execute(f"ALTER DATABASE {name} ALLOW_CONNECTIONS false")
        operator.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = %s", [name]
        )
        receiving = asyncio.create_task(service.receive([inbound(2, text="meanwhile")]))
        await asyncio.sleep(1)
        assert not receiving.done()
        operator.execute(f"ALTER DATABASE {name} ALLOW_CONNECTIONS true")
    await receiving
    await mailbox.until(2)
    await service.stop()

    assert mailbox.texts() == ["before", "meanwhile"]
    await store.close()


async def test_a_message_sent_while_the_database_is_away_is_noted_when_it_is_back(
    postgres_server: str, postgres_url: str
) -> None:
    store = await open_store(postgres_url)
    name = store.database.url.database
    mailbox = Mailbox(SystemClock(), takes_s=0.5)
    service = live(store, mailbox)
    await service.start()
    await service.receive([inbound(1)])
    await asyncio.wait_for(mailbox.begun.wait(), 20)

    with psycopg.connect(postgres_server, autocommit=True) as operator:
        operator.execute(f"ALTER DATABASE {name} ALLOW_CONNECTIONS false")
        operator.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = %s", [name]
        )
        await mailbox.until(1)
        operator.execute(f"ALTER DATABASE {name} ALLOW_CONNECTIONS true")
    await service.stop()

    assert mailbox.texts() == ["doubled"]
    later = SystemClock().now() + timedelta(hours=1)
    again = await store.take_outgoing(
        now=later, claim_for=timedelta(seconds=9), limit=9, pace=UNPACED
    )
    assert again == []
    await store.close()


async def test_a_full_disk_refuses_updates_and_keeps_what_it_has(sqlite_url: str) -> None:
    store = await open_store(sqlite_url)
    await post.keep(store, cause="u:0")

    def full(connection: Connection) -> None:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")

    def roomy(connection: Connection) -> None:
        connection.exec_driver_sql("PRAGMA max_page_count = 1000000")

    big = post.inbound(1, text="x" * 60_000)
    await store.database.run(full)
    with pytest.raises(DatabaseAway, match="full"):
        await store.receive([big])
    await store.database.run(roomy)

    assert await store.receive([big]) == 1
    assert (await store.conversation("ada")).dossier.last_number == 1
    await store.close()


async def test_a_frozen_transaction_does_not_hold_its_locks_for_ever(postgres_url: str) -> None:
    frozen, well = await open_store(postgres_url), await open_store(postgres_url)
    await post.keep(well, cause="u:1")

    def idle_at_most(connection: Connection) -> object:
        return connection.exec_driver_sql("SHOW idle_in_transaction_session_timeout").scalar()

    assert await frozen.database.run(idle_at_most) == "5s"
    for store in (frozen, well):
        await store.close()


async def test_a_clock_set_back_an_hour_sends_what_waits(
    service: Service, store: SqlStore, mailbox: Mailbox
) -> None:
    await store.receive([post.inbound(1)])
    ahead = MONDAY + timedelta(hours=1)
    await store.take_inbound(now=ahead, claim_for=timedelta(seconds=15), limit=9)

    await service.settle(MONDAY + timedelta(seconds=1))

    assert mailbox.texts() == ["doubled"]


async def test_a_clock_a_day_ahead_does_not_send_twice_what_is_on_its_way(
    store: SqlStore,
) -> None:
    clock = ShiftedClock(SystemClock())
    mailbox = Mailbox(clock, takes_s=0.5)
    service = Service(
        store=store, coach=PARROT, channel=mailbox, clock=clock, pace=UNPACED, tick_s=0.05
    )
    await service.start()
    await service.receive([inbound(1)])
    await asyncio.wait_for(mailbox.begun.wait(), 20)

    clock.move_to(clock.now() + timedelta(hours=23))
    await mailbox.until(1)
    await asyncio.sleep(0.5)
    await service.stop()

    assert mailbox.texts() == ["doubled"]
