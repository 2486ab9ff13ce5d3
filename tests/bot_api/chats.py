"""Chats, and what was sent to them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from tests.bot_api.keyboard import Button
from tests.bot_api.markup import Entity


@dataclass(slots=True, kw_only=True)
class Chat:
    id: int
    kind: Literal["private", "group", "supergroup", "channel"] = "private"
    first_name: str = "Ada"
    blocked: bool = False
    moved_to: int | None = None
    messages: int = 0

    def as_json(self) -> dict[str, object]:
        if self.kind == "private":
            return {"id": self.id, "type": "private", "first_name": self.first_name}
        return {"id": self.id, "type": self.kind, "title": "A group"}


@dataclass(slots=True, kw_only=True)
class Sent:
    """A message of the bot as a person sees it: markup is gone, styles are beside it."""

    chat_id: int
    message_id: int
    text: str
    entities: tuple[Entity, ...]
    rows: tuple[tuple[Button, ...], ...]
    at: datetime
    at_s: float
    """The server's running clock."""
    photo: bytes | None = None
    reply_to: int | None = None

    @property
    def buttons(self) -> tuple[Button, ...]:
        return tuple(button for row in self.rows for button in row)

    def styled(self, kind: str) -> tuple[str, ...]:
        """The pieces of the text that are, say, bold."""
        raw = self.text.encode("utf-16-le")
        return tuple(
            raw[2 * one.offset : 2 * (one.offset + one.length)].decode("utf-16-le")
            for one in self.entities
            if one.kind == kind
        )
