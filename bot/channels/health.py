"""What a machine may ask of a running bot: is it alive, is it ready, how is it doing."""

from __future__ import annotations

import asyncio
from typing import Final, Protocol

from prometheus_client import CONTENT_TYPE_LATEST, generate_latest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from bot.channels.meters import Meters
from bot.delivery.ports import Store
from bot.errors import DatabaseError

ANSWER_WITHIN_S: Final = 2.0


class Fetches(Protocol):
    """Something that asks the service for news, again and again."""

    def silent_for_s(self) -> float | None: ...

    def trouble(self) -> str | None: ...


class Health:
    """``fetches`` is None where nothing is fetched: a webhook cannot tell whether nobody wrote or
    nobody called."""

    def __init__(self, store: Store, meters: Meters, fetches: Fetches | None) -> None:
        self._store = store
        self._meters = meters
        self._fetches = fetches

    @property
    def public_routes(self) -> tuple[Route, ...]:
        return (Route("/healthz", self._healthz), Route("/readyz", self._readyz))

    def private_app(self) -> Starlette:
        """With the metrics, which are nobody's business outside."""
        return Starlette(routes=[*self.public_routes, Route("/metrics", self._metrics)])

    async def trouble(self) -> str | None:
        """Why the bot cannot do its work just now, None when it can."""
        if not await self._database_answers():
            return "the database does not answer"
        return None if self._fetches is None else self._fetches.trouble()

    async def _healthz(self, request: Request) -> Response:
        return PlainTextResponse("alive\n")

    async def _readyz(self, request: Request) -> Response:
        trouble = await self.trouble()
        if trouble is None:
            return PlainTextResponse("ready\n")
        return PlainTextResponse(f"{trouble}\n", status_code=503)

    async def _metrics(self, request: Request) -> Response:
        silent_s = None if self._fetches is None else self._fetches.silent_for_s()
        self._meters.silence_seconds.set(-1 if silent_s is None else silent_s)
        try:
            async with asyncio.timeout(ANSWER_WITHIN_S):
                self._meters.waiting_prompts.set(await self._store.waiting_prompts())
                self._meters.set_aside.set(len(await self._store.set_aside(limit=100)))
        except (DatabaseError, TimeoutError):
            # The rest is worth having all the same, most of all while the database is away.
            self._meters.waiting_prompts.set(float("nan"))
            self._meters.set_aside.set(float("nan"))
        return Response(
            generate_latest(self._meters.registry), headers={"Content-Type": CONTENT_TYPE_LATEST}
        )

    async def _database_answers(self) -> bool:
        try:
            async with asyncio.timeout(ANSWER_WITHIN_S):
                await self._store.next_due()
        except (DatabaseError, TimeoutError):
            return False
        return True
