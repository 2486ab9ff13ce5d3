"""Updates that wait to be fetched, with the service's own rules for offsets."""

from __future__ import annotations

import asyncio
from collections import OrderedDict

from tests.bot_api.refusals import Refusal

DEFAULT_KINDS = frozenset(
    {"message", "edited_message", "channel_post", "callback_query", "inline_query"}
)
MOST_AT_ONCE = 100
LONGEST_WAIT_S = 50


class Inbox:
    """Updates by number. A fetch with an offset confirms, for ever, all that lie before it."""

    def __init__(self, first: int = 1000) -> None:
        self._waiting: OrderedDict[int, dict[str, object]] = OrderedDict()
        self._number = first
        self._news = asyncio.Event()
        self._poll: asyncio.Future[None] | None = None
        self.wanted = DEFAULT_KINDS
        self.confirmed = 0
        self.polls = 0

    def __len__(self) -> int:
        return len(self._waiting)

    @property
    def waiting(self) -> tuple[dict[str, object], ...]:
        return tuple(self._waiting.values())

    def add(self, kind: str, body: object) -> int | None:
        """A new update; None when the bot has not asked for its kind."""
        if kind not in self.wanted:
            return None
        self._number += 1
        self.put({"update_id": self._number, kind: body})
        return self._number

    def put(self, update: dict[str, object]) -> None:
        """An update as it is, however odd."""
        number = update["update_id"]
        assert isinstance(number, int)
        self._number = max(self._number, number)
        self._waiting[number] = update
        self._news.set()

    def confirm_before(self, offset: int) -> None:
        for number in [number for number in self._waiting if number < offset]:
            del self._waiting[number]
            self.confirmed += 1

    def take(self, update: dict[str, object]) -> None:
        """Confirm this one alone, as a webhook does."""
        number = update["update_id"]
        assert isinstance(number, int)
        self.confirmed += self._waiting.pop(number, None) is not None

    def want(self, kinds: list[str] | None) -> None:
        """Holds for updates that are yet to come. None: as before; empty: the default."""
        if kinds is not None:
            self.wanted = frozenset(kinds) or DEFAULT_KINDS

    async def fetch(self, *, offset: int, limit: int, timeout_s: int) -> list[dict[str, object]]:
        """Updates from ``offset`` on, at once if there are any, else as soon as one comes.

        A newer fetch ends an older one that still waits, with 409.
        """
        self.polls += 1
        if self._poll is not None and not self._poll.done():
            self._poll.set_result(None)
        if offset < 0:
            oldest = sorted(self._waiting)[offset:]
            offset = oldest[0] if oldest else 0
        self.confirm_before(offset)
        mine = self._poll = asyncio.get_running_loop().create_future()
        try:
            await self._wait_for_news(mine, min(timeout_s, LONGEST_WAIT_S))
        finally:
            if self._poll is mine:
                self._poll = None
        most = min(limit if limit > 0 else MOST_AT_ONCE, MOST_AT_ONCE)
        return [self._waiting[number] for number in sorted(self._waiting)[:most]]

    async def _wait_for_news(self, mine: asyncio.Future[None], wait_s: float) -> None:
        loop = asyncio.get_running_loop()
        until = loop.time() + wait_s
        while not self._waiting and (left := until - loop.time()) > 0:
            self._news.clear()
            news = asyncio.ensure_future(self._news.wait())
            await asyncio.wait({news, mine}, timeout=left, return_when=asyncio.FIRST_COMPLETED)
            news.cancel()
            if mine.done():
                raise Refusal(
                    409,
                    "Conflict: terminated by other getUpdates request; "
                    "make sure that only one bot instance is running",
                )
