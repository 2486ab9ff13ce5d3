"""A morning of many due prompts: how near to the allowed rate it goes out, how fast without one, and
what memory it takes. The baseline is the allowed rate itself, enforced by the service.

``python -m tests.benchmarks.delivery_morning --prompts 10000`` prints JSON.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import sys
from datetime import timedelta

import psutil

from bot.delivery.ticker import SystemClock
from storage import open_store
from tests.bot_api.flood import Flood
from tests.bot_api.service import BotApi
from tests.bot_api.wire import serving
from tests.endurance.databases import an_empty_database
from tests.endurance.people import move_in


async def morning(
    command: list[str], database_url: str, *, prompts: int, rate: int | None
) -> dict[str, object]:
    api = BotApi(flood=Flood(per_second=rate))
    chats = [api.chat(1000 + number).id for number in range(prompts)]
    store = await open_store(database_url)
    now = SystemClock().now()
    due = now + timedelta(seconds=1)
    await move_in(store, [f"tg:{chat}" for chat in chats], now=now, next_prompt_at=due)
    await store.close()
    async with serving(api) as address:
        environment = {
            **os.environ,
            "JARSIDE_DATABASE_URL": database_url,
            "JARSIDE_TELEGRAM_TOKEN": api.token,
            "JARSIDE_TELEGRAM_API_URL": address,
            "JARSIDE_SEND_RATE": str(rate or 100_000),
            "JARSIDE_LOG_LEVEL": "ERROR",
        }
        process = await asyncio.create_subprocess_exec(sys.executable, *command, env=environment)
        seen, most = psutil.Process(process.pid), 0
        await api.until(lambda: bool(api.sent), within_s=60)
        cpu = sum(seen.cpu_times()[:2])
        while len(api.sent) < prompts:
            most = max(most, seen.memory_info().rss)
            await asyncio.sleep(0.25)
        cpu = sum(seen.cpu_times()[:2]) - cpu
        process.kill()
        await process.wait()
    took = api.sent[-1].at_s - api.sent[0].at_s
    pace = (prompts - 1) / took
    return {
        "prompts": prompts,
        "allowed_per_s": rate,
        "per_s": round(pace, 2),
        "ratio_to_allowed": None if rate is None else round(pace / rate, 4),
        "refused_by_flood_control": api.flood.refused,
        "sent_twice": len(api.sent) - len({sent.chat_id for sent in api.sent}),
        "cpu_ms_each": round(1000 * cpu / prompts, 2),
        "memory_mb": round(most / 1e6, 1),
    }


async def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--prompts", type=int, default=10_000)
    parser.add_argument("--paced-prompts", type=int, default=1_000)
    parser.add_argument("--rate", type=int, default=30)
    parser.add_argument("--database", choices=["sqlite", "postgresql"], default="sqlite")
    asked = parser.parse_args()
    serve = ["-m", "bot", "serve"]
    told: dict[str, object] = {"processors": os.cpu_count(), "database": asked.database}
    with an_empty_database(asked.database) as url:
        told["paced"] = await morning(serve, url, prompts=asked.paced_prompts, rate=asked.rate)
    with an_empty_database(asked.database) as url:
        told["limit_lifted"] = await morning(serve, url, prompts=asked.prompts, rate=None)
    print(json.dumps(told, indent=2))


if __name__ == "__main__":
    asyncio.run(main())
