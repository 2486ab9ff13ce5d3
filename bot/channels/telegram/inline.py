"""A quick question in any chat ("@our_bot grey liquid on top?"), answered while it is typed.

It goes neither through the inbox nor through the outbox. Those exist so that nothing said to us is
lost and nothing we say is lost or said twice; here nothing is said yet. A query is the half of a
sentence, the next keystroke brings another, and its number lapses within seconds: an answer kept
over a restart could only be refused. The answer is worked out from the words alone, so that nothing
needs to be loaded or kept, and whoever asks, it is the same: the service may hand it to the next who
types the same.
"""

from __future__ import annotations

import asyncio
from contextlib import suppress
from dataclasses import replace
from datetime import datetime
from typing import Final

from telegram import (
    Bot,
    InlineQuery,
    InlineQueryResultArticle,
    InputTextMessageContent,
    LinkPreviewOptions,
)
from telegram.constants import ParseMode

from bot.channels.telegram.faults import mapped
from bot.channels.telegram.markup import parts, sound
from bot.channels.telegram.patience import CALL_WITHIN_S, LOG
from bot.coach import answer
from bot.coach.passing_by import how_to_ask
from bot.errors import ChannelError
from bot.turn import Asked
from bot.voice.catalogue import say
from bot.voice.message import Message

CACHED_S: Final = 60
"""How long the service may give the same answer to the same words: hours in it grow stale."""
MOST_AT_ONCE: Final = 32
"""With more in hand than this the newest goes unanswered: its next letter asks again."""
LONGEST_GLIMPSE: Final = 120
METHOD: Final = "answerInlineQuery"


class Inline:
    """Answers queries as well as can be, a limited number at once: each letter asks anew."""

    def __init__(self, bot: Bot) -> None:
        self._bot = bot
        self._in_hand = 0

    async def answer(self, query: InlineQuery, *, now: datetime) -> None:
        """A query that the service has forgotten needs no answer."""
        found = await self._offer(query, now)
        if found is None:
            return
        with suppress(ChannelError):
            async with mapped(within_s=CALL_WITHIN_S):
                await self._bot.answer_inline_query(query.id, [found], cache_time=CACHED_S)

    async def as_method(self, query: InlineQuery, *, now: datetime) -> dict[str, object] | None:
        """The same as a method that the answer to a webhook may name; None: no answer."""
        found = await self._offer(query, now)
        if found is None:
            return None
        told = {"inline_query_id": query.id, "results": [found.to_dict()], "cache_time": CACHED_S}
        return {"method": METHOD, **told}

    async def _offer(self, query: InlineQuery, now: datetime) -> InlineQueryResultArticle | None:
        """What to offer for these words; None when there are too many, or working it out failed."""
        if self._in_hand >= MOST_AT_ONCE:
            return None
        self._in_hand += 1
        try:
            return await asyncio.to_thread(_result, " ".join(sound(query.query).split()), now)
        except Exception as wrong:  # noqa: BLE001 - the edge of one query: told, and done with
            LOG.error("inline-failed", extra={"action": "inline", "why": type(wrong).__name__})
            return None
        finally:
            self._in_hand -= 1


def _result(text: str, now: datetime) -> InlineQueryResultArticle:
    asked = Asked(text=text, at=now)
    found = answer(asked)
    if found is None:
        how = how_to_ask(asked)
        return _article(say("passing_by.inline_how_title"), how, how.text)
    said = replace(found, heading=text, text=_whole(found))
    return _article(say("passing_by.inline_title"), said, said.text)


def _whole(message: Message) -> str:
    return message.text if message.heading is None else f"{message.heading}\n{message.text}"


def _article(title: str, message: Message, about: str) -> InlineQueryResultArticle:
    """One offer; tapped, it is posted as the message, which is short enough for one call."""
    return InlineQueryResultArticle(
        id="answer",
        title=title,
        description=about[:LONGEST_GLIMPSE],
        input_message_content=InputTextMessageContent(
            parts(message)[0].text,
            parse_mode=ParseMode.HTML,
            link_preview_options=LinkPreviewOptions(is_disabled=True),
        ),
    )
