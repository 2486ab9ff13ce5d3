"""What is said in a group, if it is said to us: a question that is nobody's.

Addressed is a message that names the bot, answers one of its messages, or is a command with the
bot's name after it. Everything else in a group is other people's talk.
"""

from __future__ import annotations

import re
from datetime import datetime

from telegram import Message
from telegram.constants import MessageEntityType

from bot.channels.telegram.markup import sound
from bot.turn import Asked


def asked(message: Message, *, username: str | None, key: str) -> Asked | None:
    """The question with the bot's name left out of it; None when it is not for us.

    ``username`` is the bot's own, without "@"; None: not known yet, so that nobody can have used it.
    """
    said = message.text if message.text is not None else message.caption
    if username is None or said is None:
        return None
    if (ordered := _order(said, username)) is not None:
        return _question(ordered, message.date, key)
    if _is_named(message, username) or _is_answer_to(message, username):
        name = re.compile(rf"@{re.escape(username)}\b[,:]?", re.IGNORECASE)
        return _question(name.sub(" ", said), message.date, key)
    return None


def _question(text: str, at: datetime, key: str) -> Asked:
    return Asked(text=" ".join(sound(text).split()), at=at, message=key)


def _order(said: str, username: str) -> str | None:
    """What follows "/help@our_bot"; None when it is no such command."""
    command, _, rest = said.partition(" ")
    name, _, address = command.partition("@")
    is_ours = name.startswith("/") and address.lower() == username.lower()
    return rest if is_ours else None


def _is_named(message: Message, username: str) -> bool:
    kinds: list[str | None] = [MessageEntityType.MENTION]
    if message.text is not None:
        named = message.parse_entities(kinds)
    else:
        named = message.parse_caption_entities(kinds)
    return any(name.lower() == f"@{username.lower()}" for name in named.values())


def _is_answer_to(message: Message, username: str) -> bool:
    """Whether it was written as an answer to a message of the bot's."""
    earlier = message.reply_to_message
    if earlier is None or earlier.from_user is None:
        return False
    return (earlier.from_user.username or "").lower() == username.lower()
