"""Many connections in several small pools, in place of one large one.

The HTTP client walks over all waiting calls and all connections whenever a call begins or ends. With
32 messages on their way at once that walk cost as much CPU as everything else together; with 16
pools a message took half: 0.75 ms in place of 1.6 ms, measured on a core of the machine this was
written on.
"""

from __future__ import annotations

from itertools import cycle
from urllib.request import getproxies

import httpx


class Lanes(httpx.AsyncBaseTransport):
    """Calls take the pools in turn. Every pool has ``each`` connections at most."""

    def __init__(self, count: int, *, each: int) -> None:
        trusted = httpx.create_ssl_context()
        limits = httpx.Limits(max_connections=each)
        self._pools = tuple(
            httpx.AsyncHTTPTransport(verify=trusted, limits=limits) for _ in range(count)
        )
        self._turns = cycle(self._pools)

    async def handle_async_request(self, request: httpx.Request) -> httpx.Response:
        return await next(self._turns).handle_async_request(request)

    async def aclose(self) -> None:
        for pool in self._pools:
            await pool.aclose()


def lanes(count: int, *, each: int) -> Lanes | None:
    """None where the environment names a proxy: the client's own transport knows the way to it."""
    return None if getproxies() else Lanes(count, each=each)
