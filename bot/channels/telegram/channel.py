"""Sends a Message over the Bot API."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import replace
from typing import Final, TypeAlias

from telegram import (
    Bot,
    InlineKeyboardButton,
    InlineKeyboardMarkup,
    LinkPreviewOptions,
    ReplyParameters,
)
from telegram.constants import ParseMode

from bot.channels.telegram.faults import mapped
from bot.channels.telegram.markup import Part, parts, picture_parts, plain_parts, sound
from bot.channels.telegram.patience import LOG
from bot.channels.telegram.photos import fetched
from bot.charts import paint_strip_off_loop
from bot.delivery.ports import Receipt
from bot.errors import GoneForGood
from bot.voice.catalogue import say
from bot.voice.message import Chart, Message, Strip

SEND_WITHIN_S: Final = 30.0
MOST_HALF_SENT: Final = 1000
NO_PREVIEW: Final = LinkPreviewOptions(is_disabled=True)


Paint: TypeAlias = Callable[[Chart], Awaitable[bytes]]
"""A chart as a PNG."""


class TelegramChannel:
    """A Channel. One message is one call, or several in order when it is too long for one.

    What a long message has already sent is remembered until the rest has gone out too, so that a
    second try does not say its beginning twice; a restart in between forgets that.
    """

    def __init__(self, bot: Bot, paint: Paint) -> None:
        self._bot = bot
        self._paint = paint
        self._half_sent: dict[tuple[str, Message], int] = {}

    async def send(self, chat: str, message: Message, *, plain: bool) -> Receipt:
        """Send to "tg:<chat id>". Raises only ChannelError and its kinds."""
        chat_id = _chat_id(chat)
        pieces = plain_parts(message) if plain else await self._pieces(message)
        done = self._half_sent.pop((chat, message), 0)
        sent = 0
        for at, part in enumerate(pieces[done:], start=done):
            answered = None if at else _answered(chat, message)
            try:
                async with mapped(within_s=SEND_WITHIN_S):
                    sent = await self._send(chat_id, part, answered)
            except BaseException:
                self._remember(chat, message, at)
                raise
        return Receipt(message=f"{chat}:{sent}")

    async def _pieces(self, message: Message) -> tuple[Part, ...]:
        try:
            picture = await self._picture(message)
        except Exception as wrong:  # noqa: BLE001 - the words of a message go without their picture
            LOG.error("not-painted", extra={"action": "send", "why": type(wrong).__name__})
            return parts(message)
        if message.strip is not None and picture is None:
            return parts(replace(message, strip=None, text=_away(message.strip)))
        return parts(message) if picture is None else picture_parts(message, picture)

    async def _picture(self, message: Message) -> bytes | None:
        """The picture that goes with the words; None when there is none, or none of its photos."""
        if message.chart is not None:
            return await self._paint(message.chart)
        if message.strip is None:
            return None
        photos = await fetched(self._bot, [one.file for one in message.strip.snapshots])
        return await paint_strip_off_loop(message.strip, photos) if any(photos) else None

    async def _send(self, chat_id: int, part: Part, answered: ReplyParameters | None) -> int:
        if part.picture is not None:
            photo = await self._bot.send_photo(
                chat_id,
                part.picture,
                caption=part.text or None,
                parse_mode=ParseMode.HTML if part.html else None,
                reply_markup=_keyboard(part),
                reply_parameters=answered,
            )
            return photo.message_id
        answer = await self._bot.send_message(
            chat_id,
            part.text,
            parse_mode=ParseMode.HTML if part.html else None,
            reply_markup=_keyboard(part),
            link_preview_options=NO_PREVIEW,
            reply_parameters=answered,
        )
        return answer.message_id

    def _remember(self, chat: str, message: Message, done: int) -> None:
        if done == 0:
            return
        while len(self._half_sent) >= MOST_HALF_SENT:
            del self._half_sent[next(iter(self._half_sent))]
        self._half_sent[chat, message] = done


def _away(strip: Strip) -> str:
    return say("photos.away", name=strip.title)


def _answered(chat: str, message: Message) -> ReplyParameters | None:
    """Points at the message that this one answers, if it is still there to be pointed at."""
    where, _, number = (message.answers or "").rpartition(":")
    if where != chat or not number.isdecimal():
        return None
    return ReplyParameters(int(number), allow_sending_without_reply=True)


def _keyboard(part: Part) -> InlineKeyboardMarkup | None:
    if not part.rows:
        return None
    return InlineKeyboardMarkup(
        [
            [InlineKeyboardButton(sound(choice.label), callback_data=choice.key) for choice in row]
            for row in part.rows
        ]
    )


def _chat_id(chat: str) -> int:
    service, _, number = chat.partition(":")
    try:
        if service == "tg":
            return int(number)
    except ValueError:
        pass
    raise GoneForGood(f"{chat!r} is not an address on Telegram")
