"""What to do when something outside fails: wait and insist, and tell where without telling what."""

from __future__ import annotations

import logging
import random
import traceback
from collections.abc import Awaitable, Callable
from pathlib import PurePath
from typing import TypeVar

from bot.delivery.clock import Clock
from bot.delivery.pace import backoff
from bot.errors import DatabaseAway

LOG = logging.getLogger("jarside.delivery")
Answer = TypeVar("Answer")


async def insist(
    act: Callable[[], Awaitable[Answer]], *, clock: Clock, luck: random.Random, action: str
) -> Answer:
    """The answer of ``act``, tried until the database is back. Any other error is let through."""
    tries = 0
    while True:
        try:
            return await act()
        except DatabaseAway as wrong:
            tries += 1
            LOG.warning("database-away", extra={"action": action, "why": str(wrong)})
            wait = min(backoff(tries, luck=luck.random()), backoff(5, luck=1))
            await clock.sleep_until(clock.now() + wait)


def whereabouts(wrong: BaseException) -> str:
    """Kind and place of an error ("KeyError at rulebook.py:120"), without its words.

    The words of an error may quote a person's message or an address with a token in it.
    """
    frames = traceback.extract_tb(wrong.__traceback__)
    if not frames:
        return type(wrong).__name__
    last = frames[-1]
    return f"{type(wrong).__name__} at {PurePath(last.filename).name}:{last.lineno}"
