"""Cold start: ``talk`` until its first line, ``serve`` until its first handled update, beside a bare
Python and an echo bot of the same library.

``python -m tests.benchmarks.delivery_cold_start`` prints JSON.
"""

from __future__ import annotations

import asyncio
import json
import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

from tests.bot_api.people import Person
from tests.bot_api.service import BotApi
from tests.bot_api.wire import serving

RUNS = 5


async def first_output(command: list[str], environment: dict[str, str]) -> float:
    """Seconds until a program writes its first line."""
    began = time.perf_counter()
    process = await asyncio.create_subprocess_exec(
        sys.executable,
        *command,
        env=environment,
        stdin=asyncio.subprocess.PIPE,
        stdout=asyncio.subprocess.PIPE,
        stderr=asyncio.subprocess.DEVNULL,
    )
    assert process.stdout is not None
    line = await asyncio.wait_for(process.stdout.readline(), 60)
    took = time.perf_counter() - began
    assert line
    if process.returncode is None:
        process.kill()
    await process.communicate()
    return took


async def first_answer(command: list[str], environment: dict[str, str]) -> float:
    """Seconds until a bot has answered a message that waited for it."""
    api = BotApi()
    person = Person(api, 1000)
    person.writes("is this normal?")
    async with serving(api) as address:
        began = time.perf_counter()
        process = await asyncio.create_subprocess_exec(
            sys.executable,
            *command,
            env={
                **environment,
                "JARSIDE_TELEGRAM_TOKEN": api.token,
                "JARSIDE_TELEGRAM_API_URL": address,
            },
        )
        await api.until(lambda: bool(person.received), within_s=60)
        took = time.perf_counter() - began
        process.kill()
        await process.wait()
    return took


async def main() -> None:
    bare, talk, echo, serve = [], [], [], []
    for _ in range(RUNS):
        with tempfile.TemporaryDirectory() as folder:
            environment = {
                **os.environ,
                "JARSIDE_DATABASE_URL": f"sqlite:///{Path(folder) / 'jarside.db'}",
                "JARSIDE_LOG_LEVEL": "ERROR",
            }
            bare.append(await first_output(["-c", "print('here', flush=True)"], environment))
            talk.append(await first_output(["-m", "bot", "talk"], environment))
            echo.append(await first_answer(["-m", "tests.benchmarks.echo_bot"], environment))
            serve.append(await first_answer(["-m", "bot", "serve"], environment))
    told = {
        "processors": os.cpu_count(),
        "runs": RUNS,
        "bare_python_s": round(statistics.median(bare), 3),
        "talk_first_line_s": round(statistics.median(talk), 3),
        "echo_bot_first_answer_s": round(statistics.median(echo), 3),
        "serve_first_answer_s": round(statistics.median(serve), 3),
        "serve_ratio_to_echo": round(statistics.median(serve) / statistics.median(echo), 2),
    }
    print(json.dumps(told, indent=2))


if __name__ == "__main__":
    asyncio.run(main())
