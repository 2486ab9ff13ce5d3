"""The commands that the service shows beside the text field, in the handbook's order."""

from __future__ import annotations

from telegram import Bot, BotCommand

from bot.channels.telegram.faults import mapped
from bot.channels.telegram.patience import CALL_WITHIN_S, LOG
from bot.errors import ChannelError
from bot.voice.catalogue import lines, say

PREFIX = "commands."


def menu() -> tuple[BotCommand, ...]:
    """Each command with what it does. The coach reads them as it reads any text."""
    return tuple(
        BotCommand(line_id.removeprefix(PREFIX), say(line_id))
        for line_id in lines()
        if line_id.startswith(PREFIX)
    )


async def show_menu(bot: Bot) -> None:
    """Set the command menu. A bot without one still works, so trouble is logged and left."""
    try:
        async with mapped(within_s=CALL_WITHIN_S):
            await bot.set_my_commands(menu())
    except ChannelError as error:
        LOG.warning("menu-not-set", extra={"action": "menu", "why": str(error)})
