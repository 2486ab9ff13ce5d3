"""Fetches updates and confirms them only when they are kept.

Why not the library's Updater: it confirms a batch with the fetch that follows, while the batch still
waits in memory for somebody to handle it; and an update queue that raises once ends its fetching for
good. Here the next offset is not even computed before ``receive`` has returned, so whatever stops the
program - a crash, a cut cable, a full disk - the service still has what we have not kept.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Coroutine, Sequence
from contextlib import suppress
from datetime import datetime
from typing import Final

from telegram import Bot, Update

from bot.channels.telegram.client import Client
from bot.channels.telegram.faults import NONSENSE, mapped
from bot.channels.telegram.inline import Inline
from bot.channels.telegram.menu import show_menu
from bot.channels.telegram.patience import CALL_WITHIN_S, LOG, Patience
from bot.channels.telegram.updates import WANTED, inbound, one_by_one
from bot.delivery.ports import Receive
from bot.errors import ChannelError

REFUSALS_IN_A_ROW: Final = 3


class Poller:
    """A Source: long polling."""

    def __init__(
        self, client: Client, *, clock: Callable[[], datetime], patience: Patience | None = None
    ) -> None:
        self._client = client
        self._bot = client.bot
        self._clock = clock
        self._patience = patience or Patience()
        self._inline = Inline(client.bot)
        self._offset: int | None = None
        self._is_fetching = False
        self._fetched_at: float | None = None
        self._answers: set[asyncio.Task[None]] = set()

    @property
    def too_silent_s(self) -> float:
        """A longer silence than this is a fault somewhere."""
        return 2.0 * (self._patience.poll_s + CALL_WITHIN_S)

    def silent_for_s(self) -> float | None:
        """Seconds since the service last answered a fetch; None before that, and while not fetching."""
        if self._fetched_at is None:
            return None
        return asyncio.get_running_loop().time() - self._fetched_at

    def trouble(self) -> str | None:
        """Why nothing may be coming in, None when all is well or when it is another's turn to fetch."""
        silent_s = self.silent_for_s()
        if not self._is_fetching:
            return None
        if silent_s is None:
            return "the messaging service has not answered yet"
        return "the messaging service does not answer" if silent_s > self.too_silent_s else None

    async def run(self, receive: Receive) -> None:
        """Hand over updates until cancelled. Raises Refused for a token the service does not know."""
        watching = asyncio.create_task(self._watch())
        self._is_fetching = True
        try:
            await self._patience.insist(self._open, refusals=1)
            while True:
                updates = await self._patience.insist(self._fetch, refusals=REFUSALS_IN_A_ROW)
                await self._hand_over(updates, receive)
        finally:
            self._is_fetching, self._fetched_at = False, None
            for task in (watching, *self._answers):
                task.cancel()

    async def _watch(self) -> None:
        """Tell the log, once for each silence, that the service has not answered for too long."""
        told = False
        while True:
            await asyncio.sleep(self.too_silent_s / 4)
            silent_s = self.silent_for_s()
            silent = silent_s is not None and silent_s > self.too_silent_s
            if silent and not told:
                LOG.error("fetch-silent", extra={"action": "receive", "seconds": silent_s})
            told = silent

    async def _open(self) -> None:
        """Learn who we are; take back a webhook, which would keep fetches out; show the menu."""
        async with mapped(within_s=CALL_WITHIN_S):
            await self._bot.initialize()
            await self._bot.delete_webhook(drop_pending_updates=False)
        await show_menu(self._bot)
        LOG.info("polling", extra={"action": "receive", "bot": self._bot.username})

    async def _fetch(self) -> Sequence[Update]:
        poll_s = self._patience.poll_s
        async with mapped(within_s=poll_s + CALL_WITHIN_S):
            try:
                updates: Sequence[Update] = await self._bot.get_updates(
                    offset=self._offset, timeout=poll_s, allowed_updates=WANTED
                )
            except TimeoutError:
                raise  # the whole call took too long: there is no answer to look into
            except NONSENSE:
                updates = one_by_one(self._client.fetching.last_answer, self._bot)
        self._fetched_at = asyncio.get_running_loop().time()
        return updates

    async def _hand_over(self, updates: Sequence[Update], receive: Receive) -> None:
        now = self._clock()
        username = self._client.username
        found = (inbound(update, username=username, now=now) for update in updates)
        if kept := [one for one in found if one is not None]:
            await receive(kept)
        for update in updates:
            self._offset = update.update_id + 1
            if update.callback_query is not None:
                self._answer(answer_tap(self._bot, update.callback_query.id))
            if update.inline_query is not None:
                self._answer(self._inline.answer(update.inline_query, now=now))

    def _answer(self, work: Coroutine[None, None, None]) -> None:
        """A tap or an inline question, beside what is fetched meanwhile."""
        answer = asyncio.create_task(work)
        self._answers.add(answer)
        answer.add_done_callback(self._answers.discard)


async def answer_tap(bot: Bot, query_id: str) -> None:
    """Stop the tapped button's waiting sign; the reply itself comes as a message.

    As well as can be: a tap that the service has forgotten needs no answer.
    """
    with suppress(ChannelError):
        async with mapped(within_s=CALL_WITHIN_S):
            await bot.answer_callback_query(query_id)
