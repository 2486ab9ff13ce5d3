"""kill -9 at random instants while reports arrive and a morning goes out; then the books are read.

``python -m tests.endurance.kill9 --database sqlite --kills 50 --reports 2000 --prompts 2000``
prints the figures as JSON and fails when a law is broken.
"""

from __future__ import annotations

import asyncio
import random
import time
from collections import Counter
from dataclasses import asdict, dataclass
from datetime import timedelta

from bot.delivery.ticker import SystemClock
from storage import open_store
from tests.bot_api.people import Person
from tests.bot_api.service import BotApi
from tests.bot_api.wire import serving
from tests.endurance.people import move_in
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
    between_s: tuple[float, float] = (0.8, 4.0)
    """How long a process lives, from its start."""

    @property
    def reporters(self) -> int:
        return max(1, self.reports // 10)


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    kills: int
    reports: int
    reports_in_journal: int
    reports_kept_twice: int
    set_aside: int
    people_to_prompt: int
    people_prompted: int
    messages_decided: int
    messages_taken: int
    chats_short_of_a_message: int
    sent_twice: int
    in_flight_at_the_kills: int
    seconds: float

    def broken_laws(self) -> list[str]:
        """The laws: each report once, each person prompted, doubles only what was in flight."""
        laws = {
            "every report is in the journal": self.reports_in_journal == self.reports,
            "no report is there twice": self.reports_kept_twice == 0,
            "no report was set aside": self.set_aside == 0,
            "every person was prompted": self.people_prompted == self.people_to_prompt,
            "every message decided has arrived": self.chats_short_of_a_message == 0,
            "only what was in flight is sent twice": (
                self.sent_twice <= self.in_flight_at_the_kills
            ),
        }
        return [law for law, holds in laws.items() if not holds]


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
        writing = asyncio.create_task(_write(reporters, plan))
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

    figures = await _count(books, api, plan, sleepers, in_flight, time.monotonic() - began)
    await store.close()
    return figures


async def _write(reporters: list[Person], plan: Plan) -> None:
    """The reports, spread over most of the time that the processes live."""
    spread_s = plan.kills * sum(plan.between_s) / 2
    for number in range(plan.reports):
        reporters[number % len(reporters)].writes("doubled, lots of bubbles, 21C")
        await asyncio.sleep(spread_s / plan.reports)


async def _count(
    books: Books,
    api: BotApi,
    plan: Plan,
    sleepers: list[Person],
    in_flight: int,
    seconds: float,
) -> Figures:
    in_journal = await books.reports()
    taken = Counter(f"tg:{sent.chat_id}" for sent in api.sent)
    async with books.store.database.transaction() as connection:
        rows = await connection.exec_driver_sql(
            "SELECT chat, count(*) FROM outbox WHERE state = 'sent' GROUP BY chat"
        )
        decided = {str(row[0]): int(row[1]) for row in rows}
    return Figures(
        kills=plan.kills,
        reports=plan.reports,
        reports_in_journal=len(in_journal),
        reports_kept_twice=sum(count > 1 for count in in_journal.values()),
        set_aside=await books.count("SELECT count(*) FROM inbox WHERE state = 'aside'"),
        people_to_prompt=len(sleepers),
        people_prompted=sum(taken[f"tg:{one.id}"] > 0 for one in sleepers),
        messages_decided=sum(decided.values()),
        messages_taken=sum(taken.values()),
        chats_short_of_a_message=sum(taken[chat] < count for chat, count in decided.items()),
        sent_twice=sum(taken.values()) - sum(decided.values()),
        in_flight_at_the_kills=in_flight,
        seconds=round(seconds, 1),
    )


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
