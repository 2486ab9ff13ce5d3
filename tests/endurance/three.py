"""Three processes over one PostgreSQL: one is killed, one frozen past its claims, one stays well.

``python -m tests.endurance.three --reports 1000 --prompts 1000`` prints the figures as JSON and
fails when a law is broken.
"""

from __future__ import annotations

import asyncio
import time
from dataclasses import asdict, dataclass
from datetime import timedelta

from bot.delivery.outbox import CLAIM_FOR
from bot.delivery.ticker import SystemClock
from storage import open_store
from tests.bot_api.people import Person
from tests.bot_api.service import BotApi
from tests.bot_api.wire import serving
from tests.endurance.figures import Figures, count
from tests.endurance.people import move_in, write
from tests.endurance.rig import Books, Bot

FIRST_REPORTER = 1_000
FIRST_SLEEPER = 500_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    reports: int
    prompts: int
    rate: float = 30.0
    latency_s: float = 0.05
    lasts_s: float = 30.0


async def endure(database_url: str, plan: Plan) -> Figures:
    """Run the plan against an empty PostgreSQL database."""
    began = time.monotonic()
    store = await open_store(database_url)
    books = Books(store)
    api = BotApi(latency_s=plan.latency_s)
    now = SystemClock().now()
    reporters = [Person(api, FIRST_REPORTER + n) for n in range(max(1, plan.reports // 10))]
    sleepers = [Person(api, FIRST_SLEEPER + n) for n in range(plan.prompts)]
    await move_in(store, [f"tg:{one.id}" for one in reporters], now=now, next_prompt_at=None)
    due = now + timedelta(seconds=5)
    await move_in(store, [f"tg:{one.id}" for one in sleepers], now=now, next_prompt_at=due)

    async with serving(api) as address:
        first, second, third = bots = [Bot(api, address, database_url, plan.rate) for _ in range(3)]
        for bot in bots:
            await bot.start()
        writing = asyncio.create_task(write(reporters, plan.reports, plan.lasts_s))
        await asyncio.sleep(plan.lasts_s / 4)
        await first.kill()  # it started first, so it was the one that polled
        in_flight = await books.being_sent()
        await asyncio.sleep(plan.lasts_s / 4)
        second.freeze()
        in_flight += await books.being_sent()
        await asyncio.sleep(CLAIM_FOR.total_seconds() + 5)
        second.thaw()
        await writing
        await books.until_done(api)
        assert [await bot.stop() for bot in (second, third)] == [0, 0]

    figures = await count(
        books,
        api,
        kills=1,
        reports=plan.reports,
        sleepers=sleepers,
        in_flight=in_flight,
        seconds=time.monotonic() - began,
    )
    await store.close()
    return figures


def main() -> None:
    import argparse
    import json

    from tests.endurance.databases import an_empty_database

    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--reports", type=int, default=1000)
    parser.add_argument("--prompts", type=int, default=1000)
    asked = parser.parse_args()
    with an_empty_database("postgresql") as url:
        figures = asyncio.run(endure(url, Plan(reports=asked.reports, prompts=asked.prompts)))
    broken = figures.broken_laws()
    print(json.dumps({**asdict(figures), "broken": broken}, indent=2))
    raise SystemExit(bool(broken))


if __name__ == "__main__":
    main()
