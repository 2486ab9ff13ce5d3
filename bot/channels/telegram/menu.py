"""The commands that the service shows beside the text field, in the handbook's order."""

from __future__ import annotations

from telegram import BotCommand

from bot.voice.catalogue import lines, say

PREFIX = "commands."


def menu() -> tuple[BotCommand, ...]:
    """Each command with what it does. The coach reads them as it reads any text."""
    return tuple(
        BotCommand(line_id.removeprefix(PREFIX), say(line_id))
        for line_id in lines()
        if line_id.startswith(PREFIX)
    )
