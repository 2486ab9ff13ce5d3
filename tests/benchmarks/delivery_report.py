"""One report end to end (read, advise, durable commit, reply sent) beside an echo bot of the same
library: processor and wall time, one chat at a time and fifty at once.

``python -m tests.benchmarks.delivery_report`` prints JSON with the ratio to the echo bot.
"""

from __future__ import annotations

import asyncio
import json
import os
import sys
import time
from dataclasses import dataclass

import psutil

from bot.delivery.ticker import SystemClock
from storage import open_store
from tests.bot_api.people import Person
from tests.bot_api.service import BotApi
from tests.bot_api.wire import serving
from tests.endurance.databases import an_empty_database
from tests.endurance.people import move_in

TEXT = "doubled, lots of bubbles, 21C"


@dataclass(frozen=True, slots=True)
class Cost:
    cpu_ms: float
    wall_ms: float
    """Both per message."""


async def answered(api: BotApi, person: Person) -> None:
    """One message and its first answer."""
    before = len(person.received)
    person.writes(TEXT)
    await api.until(lambda: len(person.received) > before)


async def measure(command: list[str], *, at_once: int, messages: int, database_url: str) -> Cost:
    """Each person writes once, ``at_once`` of them at any time, after a warm-up of ten."""
    api = BotApi()
    people = [Person(api, 1000 + number) for number in range(messages + 10)]
    async with serving(api) as address:
        environment = {
            **os.environ,
            "JARSIDE_DATABASE_URL": database_url,
            "JARSIDE_TELEGRAM_TOKEN": api.token,
            "JARSIDE_TELEGRAM_API_URL": address,
            "JARSIDE_SEND_RATE": "100000",
            "JARSIDE_LOG_LEVEL": "ERROR",
        }
        process = await asyncio.create_subprocess_exec(sys.executable, *command, env=environment)
        seen = psutil.Process(process.pid)
        for person in people[:10]:
            await asyncio.wait_for(answered(api, person), 30)
        await asyncio.sleep(0.5)
        queue = iter(people[10:])

        async def take_turns() -> None:
            for person in queue:
                await answered(api, person)

        cpu, wall = sum(seen.cpu_times()[:2]), time.perf_counter()
        await asyncio.gather(*(take_turns() for _ in range(at_once)))
        wall = time.perf_counter() - wall
        await asyncio.sleep(0.3)  # what is noted after the reply belongs to it
        cpu = sum(seen.cpu_times()[:2]) - cpu
        process.kill()
        await process.wait()
    return Cost(cpu_ms=1000 * cpu / messages, wall_ms=1000 * wall / messages)


async def prepared(database_url: str, people: int) -> None:
    store = await open_store(database_url)
    chats = [f"tg:{1000 + number}" for number in range(people)]
    await move_in(store, chats, now=SystemClock().now(), next_prompt_at=None)
    await store.close()


async def kept(command: list[str], at_once: int, messages: int, database: str) -> Cost:
    with an_empty_database(database) as url:
        await prepared(url, messages + 10)
        return await measure(command, at_once=at_once, messages=messages, database_url=url)


async def main(messages: int, database: str) -> None:
    told: dict[str, object] = {"processors": os.cpu_count(), "database": database}
    for at_once in (1, 50):
        echo = await measure(
            ["-m", "tests.benchmarks.echo_bot"],
            at_once=at_once,
            messages=messages,
            database_url="",
        )
        ours = await kept(["-m", "bot", "serve"], at_once, messages, database)
        shell = await kept(["-m", "tests.benchmarks.shell_alone"], at_once, messages, database)
        told[f"{at_once} at once"] = {
            "echo_cpu_ms": round(echo.cpu_ms, 2),
            "cpu_ms": round(ours.cpu_ms, 2),
            "cpu_ratio": round(ours.cpu_ms / echo.cpu_ms, 2),
            "shell_alone_cpu_ms": round(shell.cpu_ms, 2),
            "shell_alone_cpu_ratio": round(shell.cpu_ms / echo.cpu_ms, 2),
            "echo_wall_ms": round(echo.wall_ms, 2),
            "wall_ms": round(ours.wall_ms, 2),
            "wall_ratio": round(ours.wall_ms / echo.wall_ms, 2),
        }
    print(json.dumps(told, indent=2))


if __name__ == "__main__":
    asyncio.run(
        main(
            int(sys.argv[1]) if len(sys.argv) > 1 else 500,
            sys.argv[2] if len(sys.argv) > 2 else "sqlite",
        )
    )
