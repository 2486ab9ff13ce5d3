"""Somebody with a phone."""

from __future__ import annotations

import re
from itertools import count
from typing import Literal

from tests.bot_api.chats import Chat, Sent
from tests.bot_api.keyboard import keyboard_json
from tests.bot_api.markup import units
from tests.bot_api.service import BotApi

TAPS = count(1)


class Person:
    """A private chat with the bot. What a person does becomes an update; its number is returned."""

    def __init__(self, api: BotApi, chat_id: int, first_name: str = "Ada") -> None:
        self._api = api
        self.chat = api.chat(chat_id)
        self.chat.first_name = first_name

    @property
    def id(self) -> int:
        return self.chat.id

    @property
    def received(self) -> list[Sent]:
        """What the bot sent, in order."""
        return self._api.to(self.id)

    @property
    def last(self) -> Sent:
        return self.received[-1]

    def writes(self, text: str) -> int | None:
        return self.sends(text=text)

    def sends(self, **content: object) -> int | None:
        """Any message: ``sticker={...}``, ``photo=[...]``, ``text="..."``."""
        self.chat.blocked = False
        return self._api.inbox.add("message", message(self._api, self.chat, **content))

    def sends_photo(self, name: str, picture: bytes, **more: object) -> int | None:
        """A photo, whose file the service keeps by that name."""
        self._api.files[name] = picture
        large = file(name, width=900, height=1200) | {"file_size": len(picture)}
        return self.sends(photo=[file(f"{name}-small", width=90, height=120), large], **more)

    def edits(self, message_id: int, **content: object) -> int | None:
        body = message(self._api, self.chat, message_id=message_id, **content)
        body["edit_date"] = int(self._api.clock().timestamp())
        return self._api.inbox.add("edited_message", body)

    def taps(self, label: str) -> int | None:
        """The newest button with this label."""
        for sent in reversed(self.received):
            for button in sent.buttons:
                if button.text == label:
                    return self.taps_data(button.data, sent)
        raise AssertionError(f"no button {label!r} among {[one.buttons for one in self.received]}")

    def taps_data(self, data: str, sent: Sent | None = None) -> int | None:
        """A button, perhaps one of a message that is long gone (``sent`` None)."""
        under = {"message_id": 1, "date": 0, "chat": self.chat.as_json()}
        if sent is not None:
            under = self._api.message_json(sent) | {"reply_markup": keyboard_json(sent.rows)}
        query = {
            "id": f"tap-{next(TAPS)}",
            "from": author(self.chat),
            "message": under,
            "chat_instance": "1",
            "data": data,
        }
        return self._api.inbox.add("callback_query", query)

    def asks_inline(self, query: str) -> int | None:
        """Types the bot's name and these words into the text field of any chat."""
        asked = {"id": f"inline-{next(TAPS)}", "from": author(self.chat), "query": query}
        return self._api.inbox.add("inline_query", {**asked, "offset": ""})

    def blocks(self) -> None:
        self.chat.blocked = True


class Group:
    """A group with the bot in it, and people who write."""

    def __init__(self, api: BotApi, chat_id: int, kind: Literal["group", "supergroup"]) -> None:
        self._api = api
        self.chat = api.chat(chat_id)
        self.chat.kind = kind

    @property
    def received(self) -> list[Sent]:
        return self._api.to(self.chat.id)

    def somebody_writes(self, text: str, *, in_reply_to: Sent | None = None) -> int | None:
        """The service finds names and commands in the text and says where they are."""
        more: dict[str, object] = {"entities": entities(text)}
        if in_reply_to is not None:
            more["reply_to_message"] = self._api.message_json(in_reply_to)
        body = message(self._api, self.chat, text=text, **more)
        ben = {"id": 88, "is_bot": False, "first_name": "Ben"}
        return self._api.inbox.add("message", body | {"from": ben})


def entities(text: str) -> list[dict[str, object]]:
    """Names and commands in a text, counted in UTF-16 code units."""
    return [
        {
            "type": "bot_command" if found[0].startswith("/") else "mention",
            "offset": units(text[: found.start()]),
            "length": units(found[0]),
        }
        for found in re.finditer(r"(?<!\S)(?:/\w+(?:@\w+)?|@\w+)", text)
    ]


def author(chat: Chat) -> dict[str, object]:
    return {"id": abs(chat.id), "is_bot": False, "first_name": chat.first_name}


def message(
    api: BotApi, chat: Chat, *, message_id: int | None = None, **content: object
) -> dict[str, object]:
    """A message as the service tells of it."""
    if message_id is None:
        chat.messages += 1
        message_id = chat.messages
    return {
        "message_id": message_id,
        "from": author(chat),
        "chat": chat.as_json(),
        "date": int(api.clock().timestamp()),
        **content,
    }


def file(name: str, **more: object) -> dict[str, object]:
    """A file as the service tells of it."""
    return {"file_id": name, "file_unique_id": name, "file_size": 100, **more}
