"""An update of the service becomes an Inbound, or nothing when it asks for no answer.

Quiet: channels, what is not said to us in groups (``groups``), the service's own notices (somebody
joined, a message was pinned), an edit that changed no text, what was posted through our own inline
answers (``inline``), and in an album every later item that is neither a photo nor has words to it.
"""

from __future__ import annotations

import json
from datetime import datetime
from typing import Final, Literal

from telegram import Bot, CallbackQuery, Location, Message, Update
from telegram.constants import ChatType, MessageAttachmentType

from bot.channels.telegram.faults import NONSENSE
from bot.channels.telegram.groups import asked
from bot.channels.telegram.markup import sound
from bot.channels.telegram.patience import LOG
from bot.channels.telegram.photos import LARGEST_B
from bot.delivery.ports import Inbound
from bot.turn import Edited, Heard, Located, Said, Sent, Tapped

WANTED: Final = (
    Update.MESSAGE,
    Update.EDITED_MESSAGE,
    Update.CALLBACK_QUERY,
    Update.INLINE_QUERY,
)
"""The kinds of update to ask the service for."""

What = Literal["photo", "too-large", "voice", "video", "sticker", "document", "contact", "other"]
PICTURES: Final = frozenset({"image/jpeg", "image/png", "image/webp"})
"""Files that are photos."""

# An animation also comes as a document and a venue also as a location: the first that is there
# says what it is.
ATTACHMENTS: Final[tuple[tuple[MessageAttachmentType, What], ...]] = (
    (MessageAttachmentType.PHOTO, "photo"),
    (MessageAttachmentType.VOICE, "voice"),
    (MessageAttachmentType.AUDIO, "voice"),
    (MessageAttachmentType.VIDEO, "video"),
    (MessageAttachmentType.VIDEO_NOTE, "video"),
    (MessageAttachmentType.ANIMATION, "video"),
    (MessageAttachmentType.STICKER, "sticker"),
    (MessageAttachmentType.DOCUMENT, "document"),
    (MessageAttachmentType.CONTACT, "contact"),
    (MessageAttachmentType.DICE, "other"),
    (MessageAttachmentType.GAME, "other"),
    (MessageAttachmentType.POLL, "other"),
    (MessageAttachmentType.STORY, "other"),
    (MessageAttachmentType.PAID_MEDIA, "other"),
)


def inbound(update: Update, *, username: str | None, now: datetime) -> Inbound | None:
    """What the update says to us; None: nothing that wants an answer.

    ``username`` is the bot's own, without "@": it may follow a command. An album comes item by
    item: photos are told one by one, with its key; of the rest without words only the first is.
    """
    try:
        return _inbound(update, username, now)
    except NONSENSE:
        # The library does not check what it reads: a text may be a number.
        LOG.error("update-unreadable", extra={"action": "receive", "update": update.update_id})
        return None


def one_by_one(answer: bytes, bot: Bot) -> tuple[Update, ...]:
    """The updates of a batch that the library could not read whole.

    One that it cannot read at all is left with nothing but its number: it will be confirmed, and
    never keeps the others back. ValueError: the answer is no batch of updates.
    """
    try:
        told = json.loads(answer)
    except ValueError:
        raise ValueError("the answer is not JSON") from None
    match told:
        case {"result": [*found]}:
            return tuple(update_of(one, bot) for one in found)
        case _:
            raise ValueError("the answer holds no updates")


def update_of(told: object, bot: Bot) -> Update:
    """One update of the service's JSON. ValueError: it has not even a number."""
    match told:
        case {"update_id": int(number)}:
            assert isinstance(told, dict)
            try:
                return Update.de_json(told, bot)
            except NONSENSE:
                LOG.error("update-unreadable", extra={"action": "receive", "update": number})
                return Update(number)
        case _:
            raise ValueError("an update without a number")


def _inbound(update: Update, username: str | None, now: datetime) -> Inbound | None:
    key, chat, heard = f"tg:{update.update_id}", None, None
    if (query := update.callback_query) is not None:
        chat, heard = _private_chat(query), _tapped(query, now)
    elif (message := update.edited_message) is not None:
        chat, heard = _private(message), _edited(message)
    elif (message := update.message) is not None:
        chat, heard = message.chat.id, _told(message, username)
        if isinstance(heard, Sent) and heard.album and heard.what != "photo" and not heard.caption:
            key = f"tg:album:{heard.album}"
    if chat is None or heard is None:
        return None
    return Inbound(key=key, chat=f"tg:{chat}", heard=heard, received_at=now, order=update.update_id)


def _private(message: Message) -> int | None:
    return message.chat.id if message.chat.type == ChatType.PRIVATE else None


def _private_chat(query: CallbackQuery) -> int | None:
    if query.message is None:
        return query.from_user.id
    return query.message.chat.id if query.message.chat.type == ChatType.PRIVATE else None


def _told(message: Message, username: str | None) -> Heard | None:
    """What somebody wrote: to us alone, or in a group to us."""
    if message.via_bot is not None and message.via_bot.username == username:
        return None
    match message.chat.type:
        case ChatType.PRIVATE:
            return _said(message, username)
        case ChatType.GROUP | ChatType.SUPERGROUP:
            return asked(message, username=username, key=_key(message))
        case _:
            return None


def _tapped(query: CallbackQuery, now: datetime) -> Heard | None:
    return None if query.data is None else Tapped(key=sound(query.data), at=now)


def _edited(message: Message) -> Heard | None:
    text = message.text if message.text is not None else message.caption
    if text is None or message.edit_date is None:
        return None
    return Edited(text=sound(text), at=message.edit_date, message=_key(message))


def _said(message: Message, username: str | None) -> Heard | None:
    if message.text is not None:
        text = _without_address(sound(message.text), username)
        return Said(text=text, at=message.date, message=_key(message))
    if message.location is not None:
        return _located(message.location, message.date)
    for kind, what in ATTACHMENTS:
        if message[kind]:
            return Sent(
                what=_what(message, what),
                at=message.date,
                caption=sound(message.caption or ""),
                message=_key(message),
                file=_file(message),
                album=_album(message),
            )
    return None


def _what(message: Message, what: What) -> What:
    """A photo sent as a file is a photo; one that the service will not hand out is too large."""
    if what == "document" and message.document and message.document.mime_type in PICTURES:
        what = "photo"
    if what != "photo":
        return what
    size = message.photo[-1].file_size if message.photo else None
    if message.document is not None:
        size = message.document.file_size
    return "too-large" if (size or 0) > LARGEST_B else "photo"


def _album(message: Message) -> str | None:
    album = message.media_group_id
    return None if album is None else f"{message.chat.id}:{sound(album)}"


def _located(where: Location, at: datetime) -> Heard:
    latitude, longitude = float(where.latitude), float(where.longitude)
    if not (abs(latitude) <= 90 and abs(longitude) <= 180):
        raise ValueError("no place on Earth")
    return Located(latitude=latitude, longitude=longitude, at=at)


def _without_address(text: str, username: str | None) -> str:
    """ "/today@our_bot" as "/today"."""
    command, space, rest = text.partition(" ")
    name, at, address = command.partition("@")
    if name.startswith("/") and at and username and address.lower() == username.lower():
        return f"{name}{space}{rest}"
    return text


def _file(message: Message) -> str | None:
    if message.photo:
        return message.photo[-1].file_id
    file = message.voice or message.audio or message.video or message.document
    return None if file is None else file.file_id


def _key(message: Message) -> str:
    return f"tg:{message.chat.id}:{message.message_id}"
