"""kill -9 at random instants while reports arrive and a morning goes out; then the books are read.

``python -m tests.endurance.kill9 --database sqlite --kills 50 --reports 2000 --prompts 2000``
prints the figures as JSON and fails when a law is broken.
"""

from __future__ import annotations

import asyncio
import random
import time
from dataclasses import asdict, dataclass
from datetime import timedelta

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
    kills: int
    reports: int
    prompts: int
    seed: int
    rate: float = 30.0
    latency_s: float = 0.05
    between_s: tuple[float, float] = (1.5, 6.0)
    """How long a process lives, from its start."""

    @property
    def lasts_s(self) -> float:
        """How long the processes live, all in all."""
        return self.kills * sum(self.between_s) / 2

    @property
    def reporters(self) -> int:
        return max(1, self.reports // 10)


async def endure(database_url: str, plan: Plan) -> Figures:
    """Run the plan against an empty database."""
    luck = random.Random(plan.seed)
    began = time.monotonic()
    store = await open_store(database_url)
    books = Books(store)
    api = BotApi(latency_s=plan.latency_s)
    now = SystemClock().now()
    reporters = [Person(api, FIRST_REPORTER + n) for n in range(plan.reporters)]
    sleepers = [Person(api, FIRST_SLEEPER + n) for n in range(plan.prompts)]
    await move_in(store, [f"tg:{one.id}" for one in reporters], now=now, next_prompt_at=None)
    due = now + timedelta(seconds=3)
    await move_in(store, [f"tg:{one.id}" for one in sleepers], now=now, next_prompt_at=due)

    async with serving(api) as address:
        bot = Bot(api, address, database_url, plan.rate)
        writing = asyncio.create_task(write(reporters, plan.reports, plan.lasts_s))
        in_flight = 0
        for _ in range(plan.kills):
            await bot.start()
            await asyncio.sleep(luck.uniform(*plan.between_s))
            await bot.kill()
            in_flight += await books.being_sent()
        await bot.start()
        await writing
        await books.until_done(api)
        assert await bot.stop() == 0

    figures = await count(
        books,
        api,
        kills=plan.kills,
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
    parser.add_argument("--database", choices=["sqlite", "postgresql"], default="sqlite")
    parser.add_argument("--kills", type=int, default=50)
    parser.add_argument("--reports", type=int, default=2000)
    parser.add_argument("--prompts", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    plan = Plan(kills=asked.kills, reports=asked.reports, prompts=asked.prompts, seed=asked.seed)
    with an_empty_database(asked.database) as url:
        figures = asyncio.run(endure(url, plan))
    broken = figures.broken_laws()
    print(json.dumps({"database": asked.database, **asdict(figures), "broken": broken}, indent=2))
    raise SystemExit(bool(broken))


if __name__ == "__main__":
    main()
