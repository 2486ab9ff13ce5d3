"""``jarside aside``: what was set aside after three failed tries, for an operator to see and retry."""

from __future__ import annotations

import asyncio
from typing import TextIO

from bot.assembly import opened
from bot.errors import InputError
from bot.settings import Settings


def run(settings: Settings, stdout: TextIO, *, again: str | None) -> int:
    """List the updates set aside, one a line, or let one be handled once more; the exit code.

    A line has key, chat, time and reason, with tabs between; no words of anybody's message. Raises
    InputError for a key that is not set aside, DatabaseError for a database that cannot be used.
    """
    return asyncio.run(_run(settings, stdout, again))


async def _run(settings: Settings, stdout: TextIO, again: str | None) -> int:
    store = await opened(settings.database_url)
    try:
        if again is not None:
            if not await store.try_again(again):
                raise InputError(f"nothing with the key {again!r} is set aside")
            stdout.write(f"{again} will be handled again.\n")
            return 0
        for inbound in await store.set_aside():
            at = inbound.received_at.isoformat(timespec="seconds")
            stdout.write(f"{inbound.key}\t{inbound.chat}\t{at}\t{inbound.why}\n")
        return 0
    finally:
        await store.close()
