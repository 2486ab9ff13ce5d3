"""Calls that arrive while a transaction runs share the next one: many chats, one commit."""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import Awaitable, Callable, Sequence
from typing import Generic, TypeVar

from bot.errors import DatabaseAway

Asked = TypeVar("Asked")
Answer = TypeVar("Answer")


class Together(Generic[Asked, Answer]):
    """Wraps ``execute``, which answers a list of requests in one transaction, as a single call.

    When a shared transaction fails, each of its requests is tried alone, so that an error meets
    only the one that caused it; while the database is away nobody is tried again.
    """

    def __init__(
        self, execute: Callable[[Sequence[Asked]], Awaitable[Sequence[Answer]]], *, most: int = 64
    ) -> None:
        self._execute = execute
        self._most = most
        self._waiting: deque[tuple[Asked, asyncio.Future[Answer]]] = deque()
        self._worker: asyncio.Task[None] | None = None

    async def __call__(self, asked: Asked) -> Answer:
        future: asyncio.Future[Answer] = asyncio.get_running_loop().create_future()
        self._waiting.append((asked, future))
        if self._worker is None:
            self._worker = asyncio.create_task(self._work())
        return await future

    async def idle(self) -> None:
        """Returns when nothing is being done."""
        if self._worker is not None:
            await self._worker

    async def _work(self) -> None:
        try:
            while self._waiting:
                count = min(self._most, len(self._waiting))
                batch = [self._waiting.popleft() for _ in range(count)]
                await self._settle(batch)
        finally:
            self._worker = None

    async def _settle(self, batch: Sequence[tuple[Asked, asyncio.Future[Answer]]]) -> None:
        try:
            answers = await self._execute([asked for asked, _ in batch])
        except Exception as wrong:  # noqa: BLE001 - handed on to those who asked
            if len(batch) == 1 or isinstance(wrong, DatabaseAway):
                for _, future in batch:
                    if not future.done():
                        future.set_exception(wrong)
                return
            for pair in batch:
                await self._settle([pair])
            return
        for (_, future), answer in zip(batch, answers, strict=True):
            if not future.done():
                future.set_result(answer)
