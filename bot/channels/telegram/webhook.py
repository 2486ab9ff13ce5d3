"""Updates by webhook: the service calls us, and is told "done" only when the update is kept.

Any number of processes may receive, behind one public address: the secret that proves the caller is
made of the token, and is the same in all of them.
"""

from __future__ import annotations

import asyncio
import hashlib
import hmac
import json
import socket
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from starlette.applications import Starlette
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response
from starlette.routing import BaseRoute, Route

from bot.channels.telegram.client import Client
from bot.channels.telegram.faults import mapped
from bot.channels.telegram.inline import Inline
from bot.channels.telegram.menu import show_menu
from bot.channels.telegram.patience import CALL_WITHIN_S, LOG, Patience
from bot.channels.telegram.updates import WANTED, inbound, update_of
from bot.channels.web import listening
from bot.delivery.ports import Receive
from bot.errors import Refused

PATH: Final = "/telegram"
LARGEST_BODY: Final = 1024 * 1024
BODY_WITHIN_S: Final = 10.0
KEEP_WITHIN_S: Final = 20.0
"""Longer than that the database is away: the service is told to come again."""
SECRET_HEADER: Final = "X-Telegram-Bot-Api-Secret-Token"  # noqa: S105 - the name, not the secret


@dataclass(frozen=True, slots=True, kw_only=True)
class Hook:
    """Where the service calls us, and the bound socket on which that call ends up."""

    public_url: str
    at: socket.socket


class Webhook:
    """Every process listens; one of them at a time, as a Source, sees to it that we are called."""

    def __init__(
        self,
        client: Client,
        *,
        token: str,
        hook: Hook,
        clock: Callable[[], datetime],
        also: tuple[BaseRoute, ...] = (),
        patience: Patience | None = None,
    ) -> None:
        """``also`` are routes to serve beside the webhook's own."""
        self._client = client
        self._bot = client.bot
        self._secret = secret_of(token)
        self._url = hook.public_url.rstrip("/") + PATH
        self._at = hook.at
        self._clock = clock
        self._also = also
        self._patience = patience or Patience()
        self._inline = Inline(client.bot)

    async def run(self, receive: Receive) -> None:
        """Have the service call us, and stay. Raises Refused for a token it does not know."""
        await self._patience.insist(self._open, refusals=1)
        await asyncio.Event().wait()

    @asynccontextmanager
    async def receiving(self, receive: Receive) -> AsyncIterator[None]:
        """Listen meanwhile; what comes goes to ``receive``."""

        async def take(request: Request) -> Response:
            return await self._take(request, receive)

        app = Starlette(routes=[Route(PATH, take, methods=["POST"]), *self._also])
        async with listening(app, self._at):
            learning = asyncio.create_task(self._learn_name())
            try:
                yield
            finally:
                learning.cancel()

    async def _open(self) -> None:
        async with mapped(within_s=CALL_WITHIN_S):
            await self._bot.initialize()
            await self._bot.set_webhook(
                self._url,
                allowed_updates=WANTED,
                secret_token=self._secret,
                drop_pending_updates=False,
            )
        await show_menu(self._bot)
        LOG.info("webhook-set", extra={"action": "receive", "bot": self._bot.username})

    async def _learn_name(self) -> None:
        """Who we are, also where another process has the webhook set: groups call us by our name."""

        async def learn() -> None:
            async with mapped(within_s=CALL_WITHIN_S):
                await self._bot.initialize()

        with suppress(Refused):  # whoever sets the webhook tells of that
            await self._patience.insist(learn, refusals=1)

    async def _take(self, request: Request, receive: Receive) -> Response:
        told = request.headers.get(SECRET_HEADER, "")
        if not hmac.compare_digest(told.encode("utf-8", "replace"), self._secret.encode()):
            return Response(status_code=403)
        try:
            async with asyncio.timeout(BODY_WITHIN_S):
                body = await _body(request)
        except (TimeoutError, ClientDisconnect):
            return Response(status_code=408, headers={"Connection": "close"})
        if body is None:
            return Response(status_code=413, headers={"Connection": "close"})
        try:
            update = update_of(json.loads(body), self._bot)
        except (ValueError, RecursionError):
            return Response(status_code=400)
        heard = inbound(update, username=self._client.username, now=self._clock())
        if heard is not None:
            try:
                async with asyncio.timeout(KEEP_WITHIN_S):
                    await receive([heard])
            except TimeoutError:
                return Response(status_code=503, headers={"Retry-After": "5"})
        # The service carries out one method that the answer names: no call of our own.
        if update.inline_query is not None:
            method = await self._inline.as_method(update.inline_query, now=self._clock())
            return Response(status_code=200) if method is None else JSONResponse(method)
        if update.callback_query is not None:
            query = {"callback_query_id": update.callback_query.id}
            return JSONResponse({"method": "answerCallbackQuery", **query})
        return Response(status_code=200)


def secret_of(token: str) -> str:
    """What the service shows with each call. It tells nothing of the token."""
    return hmac.new(token.encode(), b"jarside webhook", hashlib.sha256).hexdigest()


async def _body(request: Request) -> bytes | None:
    """The whole body, or None as soon as it is too large."""
    told = request.headers.get("content-length", "0")
    if not told.isdigit() or int(told) > LARGEST_BODY:
        return None
    body = bytearray()
    async for chunk in request.stream():
        body += chunk
        if len(body) > LARGEST_BODY:
            return None
    return bytes(body)
