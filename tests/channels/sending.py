"""One message to one person, and what comes of it."""

from __future__ import annotations

import pytest

from bot.channels.telegram.channel import TelegramChannel
from bot.errors import ChannelError
from bot.voice.message import Message

HELLO = Message(kind="reply", text="Hello.")


async def send(channel: TelegramChannel, message: Message = HELLO, *, plain: bool = False) -> str:
    """The key of what arrived."""
    receipt = await channel.send("tg:77", message, plain=plain)
    return receipt.message


async def trouble(channel: TelegramChannel, message: Message = HELLO) -> ChannelError:
    """The error that sending it ends in, which hides nobody's words behind it."""
    with pytest.raises(ChannelError) as caught:
        await send(channel, message)
    assert caught.value.__cause__ is None
    return caught.value
