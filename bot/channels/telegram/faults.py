"""Every error of the library, of its HTTP client and of an unreadable answer becomes one of ours.

Our errors do not carry the library's as their cause: its texts may hold the token or what a person
wrote, and a traceback would print them.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import timedelta
from typing import Final

import httpx
from telegram.error import (
    BadRequest,
    ChatMigrated,
    Conflict,
    Forbidden,
    InvalidToken,
    NetworkError,
    RetryAfter,
    TelegramError,
    TimedOut,
)

from bot.errors import ChannelError, ChatMoved, GoneForGood, Malformed, Refused, TryLater

# A bad request that no other wording of the message would mend. The service documents no list:
# these descriptions are from memory of its answers.
NO_SUCH_CHAT: Final = (
    "chat not found",
    "peer_id_invalid",
    "user not found",
    "have no rights to send",
    "not enough rights",
    "chat_write_forbidden",
    "bot was kicked",
    "topic_closed",
)

NOT_SENT: Final = (httpx.ConnectError, httpx.ConnectTimeout, httpx.PoolTimeout)


NONSENSE: Final = (
    ArithmeticError,
    AttributeError,
    LookupError,
    OSError,
    RecursionError,
    TypeError,
    ValueError,
)
"""Valid JSON of the wrong shape trips the library up wherever it happens to look."""


class AnotherPoller(TryLater):
    """Another program fetches this bot's messages with the same token: stop one of the two."""


@asynccontextmanager
async def mapped(*, within_s: float) -> AsyncIterator[None]:
    """Round one call of the library: raises only ChannelError and its kinds.

    ``within_s`` bounds the whole call, for a service that sends one byte now and then.
    """
    try:
        async with asyncio.timeout(within_s):
            yield
    except TelegramError as error:
        raise ours(error) from None
    except TimeoutError:
        raise TryLater("no answer in time", maybe_arrived=True) from None
    except NONSENSE:
        raise TryLater("the answer made no sense", maybe_arrived=True) from None


def ours(error: TelegramError) -> ChannelError:
    """The library's error as one of ours, in words that hold no address and no token."""
    match error:
        case RetryAfter():
            return TryLater("asked to wait", after_s=_seconds(error.retry_after), everyone=True)
        case ChatMigrated():
            return ChatMoved(f"tg:{error.new_chat_id}")
        case Forbidden():
            return GoneForGood()
        case InvalidToken():
            return Refused(
                "Telegram does not know this token: check JARSIDE_TELEGRAM_TOKEN "
                "(and JARSIDE_TELEGRAM_API_URL, if you set it)"
            )
        case Conflict():
            return AnotherPoller()
        case BadRequest():
            return _bad_request(error.message.lower())
        case TimedOut():
            return TryLater("no answer in time", maybe_arrived=_maybe_arrived(error))
        case NetworkError() if isinstance(error.__cause__, UnicodeError):
            return Malformed("it holds what cannot be written")
        case NetworkError():
            return TryLater(_trouble(error), maybe_arrived=_maybe_arrived(error))
        case _:
            # The library's base error: an answer that was cut off, or is not JSON.
            return TryLater("the answer could not be read", maybe_arrived=True)


def _bad_request(description: str) -> ChannelError:
    if any(sign in description for sign in NO_SUCH_CHAT):
        return GoneForGood("there is no such chat for us")
    return Malformed()


def _trouble(error: NetworkError) -> str:
    cause = error.__cause__
    if isinstance(cause, httpx.HTTPError):
        return f"the connection failed ({type(cause).__name__})"
    return "the service is in trouble"


def _maybe_arrived(error: NetworkError) -> bool:
    return not isinstance(error.__cause__, NOT_SENT)


def _seconds(wait: int | timedelta) -> float:
    return wait.total_seconds() if isinstance(wait, timedelta) else float(wait)
