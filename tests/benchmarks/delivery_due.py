"""Finding and claiming who is due among very many people, beside one scheduler job a person (the
design that was refused).

``python -m tests.benchmarks.delivery_due --people 1000000`` prints JSON.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import statistics
import time
from datetime import datetime, timedelta

from apscheduler.schedulers.background import BackgroundScheduler
from apscheduler.triggers.date import DateTrigger
from sqlalchemy import Connection

from bot.delivery.ticker import SystemClock
from storage import open_store
from storage.payload import instant
from storage.store import SqlStore
from storage.tables import PEOPLE
from tests.endurance.databases import an_empty_database

CLAIM = timedelta(seconds=30)
A_TICK = 60
"""People claimed by one tick: two seconds' worth at the default rate."""
DAY_US = 86_400_000_000
AT_ONCE = 10_000


async def crowd(store: SqlStore, people: int, now: datetime) -> None:
    """People whose mornings are spread over a day, a hundredth of them (4,000 at least) due by now."""
    start = instant(now) - DAY_US * max(people // 100, 4_000) // people

    def some(first: int, connection: Connection) -> None:
        rows = [
            {
                "key": f"tg:{number}",
                "chat": f"tg:{number}",
                "version": 1,
                "slot": number * 7919 % 2147483647,
                "next_prompt_at": start + number * DAY_US // people,
                "at_rest": False,
                "free_at": 0,
            }
            for number in range(first, min(people, first + AT_ONCE))
        ]
        connection.execute(PEOPLE.insert(), rows)

    for first in range(0, people, AT_ONCE):
        await store.database.run(lambda on, first=first: some(first, on))  # type: ignore[misc]


async def ticks(store: SqlStore, now: datetime, count: int) -> list[float]:
    """Milliseconds of each claim of a tick's worth of people."""
    took = []
    for _ in range(count):
        began = time.perf_counter()
        people = await store.take_due(now=now, claim_for=CLAIM, limit=A_TICK)
        took.append(1000 * (time.perf_counter() - began))
        assert len(people) == A_TICK
    return took


async def claims(database: str, people: int) -> dict[str, float]:
    with an_empty_database(database) as url:
        store = await open_store(url)
        now = SystemClock().now()
        await crowd(store, people, now)
        if database == "postgresql":
            await store.database.run(lambda on: on.exec_driver_sql("ANALYZE people"))
        await ticks(store, now, 3)
        took = await ticks(store, now, 50)
        await store.close()
    return {"median_ms": round(statistics.median(took), 2), "worst_ms": round(max(took), 2)}


def jobs(people: int, now: datetime) -> dict[str, float]:
    """The refused design: a job for each person; adding them, and a look at which is next."""
    scheduler = BackgroundScheduler(timezone="UTC")
    scheduler.start(paused=True)
    began = time.perf_counter()
    for number in range(people):
        at = now + timedelta(seconds=60 + number)
        scheduler.add_job(print, DateTrigger(at), id=str(number))
    added = time.perf_counter() - began
    began = time.perf_counter()
    for number in range(A_TICK):  # each of those who were due gets the morning after
        at = now + timedelta(days=1, seconds=number)
        scheduler.reschedule_job(str(number), trigger=DateTrigger(at))
    moved = time.perf_counter() - began
    scheduler.shutdown()
    return {"add_all_s": round(added, 2), "a_tick_ms": round(1000 * moved, 2)}


async def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--people", type=int, default=1_000_000)
    parser.add_argument("--jobs", type=int, default=10_000)
    asked = parser.parse_args()
    baseline = jobs(asked.jobs, SystemClock().now())
    told: dict[str, object] = {
        "processors": os.cpu_count(),
        "people": asked.people,
        "claimed_a_tick": A_TICK,
        f"baseline_one_job_a_person_at_{asked.jobs}": baseline,
    }
    for database in ("sqlite", "postgresql"):
        found = await claims(database, asked.people)
        ratio = found["median_ms"] / baseline["a_tick_ms"]
        told[database] = {**found, "ratio_to_baseline": round(ratio, 4)}
    print(json.dumps(told, indent=2))


if __name__ == "__main__":
    asyncio.run(main())
