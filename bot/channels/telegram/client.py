"""The library's Bot, tuned, and kept from writing the token or people's words into logs."""

from __future__ import annotations

import logging
import os
from dataclasses import dataclass
from typing import Any, Final

import httpx
from telegram import Bot
from telegram.request import HTTPXRequest

from bot.channels.telegram.lanes import lanes

ANSWER_S: Final = 10.0
"""How long an answer may keep silent."""
CONNECT_S: Final = 5.0
LANES: Final = 16
LANE_WIDTH: Final = 4
"""Connections in each lane: 64 in all."""
TALKATIVE: Final = ("telegram", "httpx", "httpcore", "hpack")
"""Loggers that write addresses (the token is part of each) or whole messages."""


class Connections(HTTPXRequest):
    """The library's HTTP client with our patience."""

    def __init__(self, most: int, transport: httpx.AsyncBaseTransport | None = None) -> None:
        super().__init__(
            connection_pool_size=most,
            read_timeout=ANSWER_S,
            write_timeout=ANSWER_S,
            connect_timeout=CONNECT_S,
            pool_timeout=ANSWER_S,
            httpx_kwargs=None if transport is None else {"transport": transport},
        )


class Fetching(Connections):
    """The connection that fetches updates; it keeps the last answer.

    The library reads a batch whole or not at all: one update it cannot read would hide all the
    others and come back for ever.
    """

    last_answer: bytes = b""

    async def do_request(self, *args: Any, **kwargs: Any) -> tuple[int, bytes]:
        code, self.last_answer = await super().do_request(*args, **kwargs)
        return code, self.last_answer


@dataclass(frozen=True, slots=True, kw_only=True)
class Client:
    """The bot at the service, and the connection it fetches on."""

    bot: Bot
    fetching: Fetching

    @property
    def username(self) -> str | None:
        """The bot's own name; None until the service has told it."""
        try:
            return self.bot.username
        except RuntimeError:
            return None


def new_client(token: str, api_url: str) -> Client:
    """A client that has not spoken to the service yet. ``api_url`` is the Bot API's base.

    Silences the library and its HTTP client first: the Bot logs its address when it is made.
    """
    silence()
    # The library's opt-in to what its next version does: spans of time instead of bare numbers.
    os.environ.setdefault("PTB_TIMEDELTA", "1")
    fetching = Fetching(1)
    bot = Bot(
        token,
        base_url=f"{api_url}/bot",
        base_file_url=f"{api_url}/file/bot",
        request=Connections(LANES * LANE_WIDTH, lanes(LANES, each=LANE_WIDTH)),
        get_updates_request=fetching,
    )
    return Client(bot=bot, fetching=fetching)


def silence() -> None:
    """No record of these loggers, or of any below them, is ever handled."""
    for name in TALKATIVE:
        logging.getLogger(name).setLevel(logging.CRITICAL + 1)
