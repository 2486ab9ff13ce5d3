"""``jarside doctor``: does everything here work? One line each, and what to do where it does not."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryFile
from typing import Literal, TextIO
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from bot.assembly import schema_state
from bot.delivery.ticker import SLIP, SystemClock
from bot.errors import JarsideError, SettingsError
from bot.settings import PREFIX, Settings, names, sqlite_file

WATCH_S = 0.2
"""How long the two clocks are watched side by side."""

ANSWER_WITHIN_S = 10.0
WRITTEN_ON_PICTURES = "Day 7, 21 °C, 2×, ½"

BUILT = datetime(2026, 1, 1, tzinfo=UTC)
"""No machine that runs this can be earlier."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    about: str
    state: Literal["ok", "wrong", "note"]
    words: str


def run(environ: Mapping[str, str], stdout: TextIO, *, env_file: Path = Path(".env")) -> int:
    """Write a line for each thing looked at. Returns 1 when one of them is wrong, else 0."""
    findings = asyncio.run(examine(environ, env_file))
    for found in findings:
        stdout.write(f"{found.about:<9} {found.state:<6} {found.words}\n")
    return 1 if any(found.state == "wrong" for found in findings) else 0


async def examine(environ: Mapping[str, str], env_file: Path) -> list[Finding]:
    """Everything that was found, in a fixed order; settings that cannot work end it after the clock."""
    try:
        settings = Settings.from_environ(environ, env_file=env_file)
    except SettingsError as wrong:
        faults = str(wrong).split("; ")
        told = [Finding(about="settings", state="wrong", words=fault) for fault in faults]
        return [*told, _clock(), _fonts()]
    return [
        _settings(settings, environ),
        await _database(settings),
        _clock(),
        _fonts(),
        await _service(settings),
    ]


def _settings(settings: Settings, environ: Mapping[str, str]) -> Finding:
    unknown = sorted({name for name in environ if name.startswith(PREFIX)} - set(names()))
    if unknown:
        words = f"{', '.join(unknown)} means nothing here; the names are {', '.join(names())}"
        return Finding(about="settings", state="note", words=words)
    told = sorted(settings.model_fields_set)
    words = f"set: {', '.join(PREFIX + name.upper() for name in told)}" if told else "all defaults"
    return Finding(about="settings", state="ok", words=words)


async def _database(settings: Settings) -> Finding:
    file = sqlite_file(settings.database_url)
    try:
        if file is not None and not file.exists():
            return _file_to_be(file)
        found, wanted = await schema_state(settings.database_url)
    except JarsideError as wrong:
        return Finding(about="database", state="wrong", words=str(wrong))
    where = "PostgreSQL" if file is None else str(file)
    if found is None:
        words = f"{where}, empty; its tables are made at the first start"
    elif found != wanted:
        words = f"{where}, version {found}; brought up to {wanted} at the next start"
    else:
        words = f"{where}, version {found}"
    return Finding(about="database", state="ok", words=words)


def _file_to_be(file: Path) -> Finding:
    """A file that is made at the first start, if its folder lets us: only trying tells."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with TemporaryFile(dir=file.parent):
            pass
    except OSError as wrong:
        words = f"{file} cannot be made: {wrong.strerror}"
        return Finding(about="database", state="wrong", words=words)
    return Finding(about="database", state="ok", words=f"{file}, made at the first start")


def _clock() -> Finding:
    """Does the wall clock keep pace with the steady one, and are the world's time zones known?"""
    clock = SystemClock()
    wall, steady = clock.now(), time.monotonic()
    time.sleep(WATCH_S)
    slip = (clock.now() - wall) - timedelta(seconds=time.monotonic() - steady)
    if abs(slip) > SLIP:
        words = f"jumped by {slip.total_seconds():.1f} s while looked at: is something setting it?"
        return Finding(about="clock", state="wrong", words=words)
    if wall < BUILT:
        words = f"shows {wall:%Y-%m-%d %H:%M} UTC, which is long past: set it"
        return Finding(about="clock", state="wrong", words=words)
    try:
        summer = datetime(2026, 7, 1, tzinfo=ZoneInfo("Europe/Oslo")).utcoffset()
    except ZoneInfoNotFoundError:
        summer = None
    if summer != timedelta(hours=2):
        words = "time zones are missing or wrong: install the package tzdata"
        return Finding(about="clock", state="wrong", words=words)
    return Finding(about="clock", state="ok", words=f"{wall:%Y-%m-%d %H:%M:%S} UTC, zones known")


def _fonts() -> Finding:
    """Pictures are painted with the letters that come with the drawing library."""
    try:
        from bot.charts.sheet import drawable

        missing = set(WRITTEN_ON_PICTURES) - set(drawable(WRITTEN_ON_PICTURES))
    except (ImportError, OSError, RuntimeError) as wrong:
        words = f"the drawing library or its letters are missing ({wrong}): install jarside again"
        return Finding(about="fonts", state="wrong", words=words)
    if missing:
        words = f"the letters lack {' '.join(sorted(missing))}: install jarside again"
        return Finding(about="fonts", state="wrong", words=words)
    return Finding(about="fonts", state="ok", words="the letters for pictures are there")


async def _service(settings: Settings) -> Finding:
    if settings.telegram_token is None:
        words = f"no {PREFIX}TELEGRAM_TOKEN, so `jarside serve` cannot start; `jarside talk` can"
        return Finding(about="service", state="note", words=words)
    from bot.channels.telegram.client import new_client
    from bot.channels.telegram.faults import mapped

    bot = new_client(settings.telegram_token.get_secret_value(), settings.telegram_api_url).bot
    try:
        async with mapped(within_s=ANSWER_WITHIN_S):
            await bot.initialize()
            name = bot.username
    except JarsideError as wrong:
        words = f"{settings.telegram_api_url}: {wrong}"
        return Finding(about="service", state="wrong", words=words)
    finally:
        await bot.shutdown()
    return Finding(about="service", state="ok", words=f"answers as @{name}")
