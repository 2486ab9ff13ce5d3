"""An ASGI app on a socket: uvicorn, with a limit on how long a caller may take to ask."""

from __future__ import annotations

import asyncio
import os
import socket
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager
from dataclasses import dataclass
from typing import Final

import uvicorn
from starlette.types import ASGIApp
from uvicorn.protocols.http.h11_impl import H11Protocol

from bot.errors import InputError, SettingsError

HEAD_WITHIN_S: Final = 10.0
"""From the connection to the end of the request's headers: a caller that drips is cut off."""
MOST_CONNECTIONS: Final = 1000
FINISH_WITHIN_S: Final = 5
LARGEST_HEAD: Final = 32 * 1024


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """Where to listen. Port 0: any that is free."""

    host: str
    port: int

    @classmethod
    def parse(cls, text: str) -> Address:
        """ "127.0.0.1:8080" or "[::1]:8080". InputError for anything else."""
        host, colon, port = text.rpartition(":")
        if not colon or not host or not port.isascii() or not port.isdigit() or int(port) > 65535:
            raise InputError(f"{text!r} is no address to listen on: it wants host:port")
        return cls(host=host.removeprefix("[").removesuffix("]"), port=int(port))

    def bind(self) -> socket.socket:
        """A listening socket. SettingsError with one sentence when the address cannot be had."""
        family = socket.AF_INET6 if ":" in self.host else socket.AF_INET
        try:
            return socket.create_server((self.host, self.port), family=family, backlog=512)
        except OSError as wrong:
            why = os.strerror(wrong.errno) if wrong.errno else str(wrong)
            raise SettingsError(f"cannot listen on {self.host}:{self.port}: {why}") from wrong


@asynccontextmanager
async def listening(app: ASGIApp, at: socket.socket) -> AsyncIterator[None]:
    """Serve ``app`` on a bound socket meanwhile; on leaving, requests in hand are finished."""
    config = uvicorn.Config(
        app,
        http=PromptCaller,
        ws="none",
        lifespan="off",
        log_config=None,
        access_log=False,
        server_header=False,
        limit_concurrency=MOST_CONNECTIONS,
        timeout_graceful_shutdown=FINISH_WITHIN_S,
        h11_max_incomplete_event_size=LARGEST_HEAD,
    )
    server = _Server(config)
    serving = asyncio.create_task(server.serve(sockets=[at]))
    try:
        yield
    finally:
        server.should_exit = True
        await serving
        at.close()


class PromptCaller(H11Protocol):
    """A connection on which every request must be there in time.

    uvicorn times only the silence between two requests, so that a thousand callers who send one
    byte now and then would keep everybody else out.
    """

    _late: asyncio.TimerHandle | None = None
    _answered: object = None
    """The last request that was answered."""

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        super().connection_made(transport)
        self._await_request()

    def handle_events(self) -> None:
        super().handle_events()
        if self._late is not None and self._is_asked():
            self._late.cancel()
            self._late = None

    def on_response_complete(self) -> None:
        self._answered = self.cycle
        super().on_response_complete()
        if not self.transport.is_closing() and not self._is_asked():
            self._await_request()

    def connection_lost(self, exc: Exception | None) -> None:
        if self._late is not None:
            self._late.cancel()
        super().connection_lost(exc)

    def _await_request(self) -> None:
        if self._late is not None:
            self._late.cancel()
        self._late = self.loop.call_later(HEAD_WITHIN_S, self.transport.abort)

    def _is_asked(self) -> bool:
        """A request's headers are there and its answer is not complete."""
        asked: object = self.cycle
        return asked is not None and asked is not self._answered


class _Server(uvicorn.Server):
    """Leaves the signals to whoever runs it."""

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        yield
