"""How long to wait for the service, and how to come back to it."""

from __future__ import annotations

import asyncio
import logging
import random
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from typing import Final, TypeVar

from bot.errors import ChannelError, Refused, TryLater

T = TypeVar("T")

LOG = logging.getLogger("jarside.telegram")

CALL_WITHIN_S: Final = 30.0
"""The whole of one call, however slowly the service speaks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Patience:
    """How long to wait for news, and between tries when the service is away."""

    poll_s: int = 30
    first_wait_s: float = 1.0
    longest_wait_s: float = 30.0

    def wait_s(self, tries: int, *, after_s: float | None) -> float:
        """After failure number ``tries``, counted from 1: doubling, with jitter, or as long as asked."""
        if after_s is not None:
            return after_s
        longest = min(self.first_wait_s * 2.0 ** min(tries - 1, 16), self.longest_wait_s)
        return longest * random.uniform(0.5, 1.0)  # noqa: S311 - spreads load, guards nothing

    async def insist(self, act: Callable[[], Awaitable[T]], *, refusals: int) -> T:
        """``act`` until it succeeds. Each new trouble is one line in the log, and so is its end.

        Raises Refused when the service has said so ``refusals`` times in a row: one that knew us a
        minute ago is asked again before we believe that it does not.
        """
        tries, refused, trouble = 0, 0, ""
        while True:
            try:
                done = await act()
            except ChannelError as error:
                tries += 1
                refused = refused + 1 if isinstance(error, Refused) else 0
                if refused >= refusals:
                    raise
                asked_s = error.after_s if isinstance(error, TryLater) else None
                wait_s = self.wait_s(tries, after_s=asked_s)
                if str(error) != trouble:
                    trouble = str(error)
                    LOG.warning("service-away", extra={"action": "wait", "why": trouble})
                await asyncio.sleep(wait_s)
            else:
                if trouble:
                    LOG.info("service-back", extra={"action": "wait", "tries": tries})
                return done
