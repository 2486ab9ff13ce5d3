"""The service itself: its chats, its methods, and everything that was sent through it."""

from __future__ import annotations

import asyncio
import json
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime

from tests.bot_api.chats import Chat, Sent
from tests.bot_api.faults import Faults
from tests.bot_api.flood import Flood
from tests.bot_api.inbox import Inbox
from tests.bot_api.inline import InlineAnswer, read_inline_answer
from tests.bot_api.keyboard import keyboard_json, read_keyboard
from tests.bot_api.markup import Entity
from tests.bot_api.parameters import Values, list_of, number_of, replied_to, text_of
from tests.bot_api.refusals import Refusal, bad_request

LONGEST_TEXT = 4096
LONGEST_CAPTION = 1024
LARGEST_FILE = 20_000_000
COMMAND = re.compile(r"[a-z0-9_]{1,32}")
SECRET = re.compile(r"[A-Za-z0-9_-]{1,256}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Webhook:
    url: str
    secret: str


@dataclass(kw_only=True)
class BotApi:
    """One bot's service. ``clock`` gives messages their dates; a test may move it."""

    token: str = "4242:a-token-of-the-tests"
    username: str = "jarside_test_bot"
    clock: Callable[[], datetime] = lambda: datetime.now(UTC)  # noqa: TID251 - the service's own
    flood: Flood = field(default_factory=Flood)
    faults: Faults = field(default_factory=Faults)
    inbox: Inbox = field(default_factory=Inbox)
    chats: dict[int, Chat] = field(default_factory=dict)
    sent: list[Sent] = field(default_factory=list)
    answered: list[str] = field(default_factory=list)
    inline: list[InlineAnswer] = field(default_factory=list)
    commands: list[tuple[str, str]] = field(default_factory=list)
    calls: list[str] = field(default_factory=list)
    files: dict[str, bytes] = field(default_factory=dict)
    """What people sent, by the id of the file."""
    webhook: Webhook | None = None
    latency_s: float = 0.0
    changed: asyncio.Event = field(default_factory=asyncio.Event)

    def chat(self, chat_id: int) -> Chat:
        """A chat that exists from now on."""
        return self.chats.setdefault(chat_id, Chat(id=chat_id))

    def to(self, chat_id: int) -> list[Sent]:
        """What the bot sent to one chat, in order."""
        return [one for one in self.sent if one.chat_id == chat_id]

    async def until(self, true: Callable[[], bool], *, within_s: float = 10.0) -> None:
        """Wait until something holds; TimeoutError when it does not come to hold."""
        async with asyncio.timeout(within_s):
            while not true():
                self.changed.clear()
                await self.changed.wait()

    async def call(self, token: str, method: str, values: Values) -> object:
        """Carry out one method; raises Refusal."""
        if token != self.token:
            raise Refusal(401, "Unauthorized") if ":" in token else Refusal(404, "Not Found")
        self.calls.append(method)
        self.changed.set()
        if self.latency_s:
            await asyncio.sleep(self.latency_s)
        try:
            return await self._do(method.lower(), values)
        finally:
            self.changed.set()

    async def _do(self, method: str, values: Values) -> object:
        match method:
            case "getme":
                return self._me()
            case "getupdates":
                return await self._get_updates(values)
            case "sendmessage":
                return self._send_message(values)
            case "sendphoto":
                return self._send_photo(values)
            case "editmessagereplymarkup":
                return self._edit_reply_markup(values)
            case "answercallbackquery":
                return self._answer_callback_query(values)
            case "answerinlinequery":
                return self._answer_inline_query(values)
            case "getfile":
                return self._get_file(values)
            case "setmycommands":
                return self._set_my_commands(values)
            case "setwebhook":
                return self._set_webhook(values)
            case "deletewebhook":
                self.webhook = None
                return True
            case "getwebhookinfo":
                return self._webhook_info()
            case _:
                raise Refusal(404, "Not Found: method not found")

    def _me(self) -> dict[str, object]:
        return {
            "id": int(self.token.partition(":")[0]),
            "is_bot": True,
            "first_name": "Jarside",
            "username": self.username,
        }

    async def _get_updates(self, values: Values) -> object:
        if self.webhook is not None:
            raise Refusal(
                409,
                "Conflict: can't use getUpdates method while webhook is active; "
                "use deleteWebhook to delete the webhook first",
            )
        self.inbox.want(list_of(values, "allowed_updates"))
        return await self.inbox.fetch(
            offset=number_of(values, "offset", 0),
            limit=number_of(values, "limit", 100),
            timeout_s=number_of(values, "timeout", 0),
        )

    def _send_message(self, values: Values) -> object:
        chat = self._open_chat(values)
        text, entities = text_of(values, "text", LONGEST_TEXT, "message is too long")
        if not text:
            raise bad_request("message text is empty")
        return self._deliver(chat, text, entities, values, photo=None)

    def _send_photo(self, values: Values) -> object:
        chat = self._open_chat(values)
        photo = values.get("photo", b"")
        if not isinstance(photo, bytes) or not photo:
            raise bad_request("there is no photo in the request")
        if not photo.startswith((b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff")):
            raise bad_request("IMAGE_PROCESS_FAILED")
        caption, entities = text_of(
            values, "caption", LONGEST_CAPTION, "message caption is too long"
        )
        return self._deliver(chat, caption, entities, values, photo=photo)

    def _open_chat(self, values: Values) -> Chat:
        """The chat, if it takes a message."""
        chat_id = number_of(values, "chat_id", 0)
        if not chat_id:
            raise bad_request("chat_id is empty")
        chat = self.chats.get(chat_id)
        if chat is None:
            raise bad_request("chat not found")
        if chat.moved_to is not None:
            raise Refusal(
                400,
                "Bad Request: group chat was upgraded to a supergroup chat",
                migrate_to_chat_id=chat.moved_to,
            )
        if chat.blocked:
            raise Refusal(403, "Forbidden: bot was blocked by the user")
        return chat

    def _deliver(
        self,
        chat: Chat,
        text: str,
        entities: tuple[Entity, ...],
        values: Values,
        *,
        photo: bytes | None,
    ) -> object:
        rows = read_keyboard(values.get("reply_markup"))
        at_s = asyncio.get_running_loop().time()
        self.flood.admit(chat.id, at_s)
        chat.messages += 1
        sent = Sent(
            chat_id=chat.id,
            message_id=chat.messages,
            text=text,
            entities=entities,
            rows=rows,
            at=self.clock(),
            at_s=at_s,
            photo=photo,
            reply_to=replied_to(values, chat.messages),
        )
        self.sent.append(sent)
        return self.message_json(sent)

    def message_json(self, sent: Sent) -> dict[str, object]:
        told: dict[str, object] = {
            "message_id": sent.message_id,
            "from": self._me(),
            "chat": self.chats[sent.chat_id].as_json(),
            "date": int(sent.at.timestamp()),
        }
        if sent.photo is None:
            told["text"] = sent.text
        else:
            size = {"width": 1, "height": 1, "file_size": len(sent.photo)}
            file = f"photo-{sent.chat_id}-{sent.message_id}"
            told["photo"] = [{"file_id": file, "file_unique_id": file, **size}]
            told["caption"] = sent.text
        if sent.rows:
            told["reply_markup"] = keyboard_json(sent.rows)
        return told

    def _edit_reply_markup(self, values: Values) -> object:
        chat = self._open_chat(values)
        number = number_of(values, "message_id", 0)
        for sent in self.to(chat.id):
            if sent.message_id == number:
                rows = read_keyboard(values.get("reply_markup"))
                if rows == sent.rows:
                    raise bad_request("message is not modified")
                sent.rows = rows
                return self.message_json(sent)
        raise bad_request("message to edit not found")

    def _answer_callback_query(self, values: Values) -> object:
        self._use_up(str(values.get("callback_query_id", "")), "tap-")
        return True

    def _answer_inline_query(self, values: Values) -> object:
        found = read_inline_answer(values)
        self._use_up(found.query_id, "inline-")
        self.inline.append(found)
        return True

    def _use_up(self, query: str, prefix: str) -> None:
        """A query is answered once."""
        if not query.startswith(prefix) or query in self.answered:
            raise bad_request(
                "query is too old and response timeout expired or query ID is invalid"
            )
        self.answered.append(query)

    def _get_file(self, values: Values) -> object:
        name = str(values.get("file_id", ""))
        if name not in self.files:
            raise bad_request("wrong file_id or the file is temporarily unavailable")
        size = len(self.files[name])
        if size > LARGEST_FILE:
            raise bad_request("file is too big")
        told = {"file_id": name, "file_unique_id": name, "file_size": size}
        return {**told, "file_path": f"photos/{name}"}

    def download(self, token: str, path: str) -> bytes:
        """The file that ``getFile`` told the path of; raises Refusal."""
        name = path.removeprefix("photos/")
        if token != self.token or name not in self.files:
            raise Refusal(404, "Not Found")
        self.calls.append("download")
        return self.files[name]

    def _set_my_commands(self, values: Values) -> object:
        told = json.loads(str(values.get("commands", "null")))
        if not isinstance(told, list) or len(told) > 100:
            raise bad_request("can't parse commands")
        found = [(str(one["command"]), str(one["description"])) for one in told]
        for command, description in found:
            if not COMMAND.fullmatch(command):
                raise bad_request("BOT_COMMAND_INVALID")
            if not 1 <= len(description) <= 256:
                raise bad_request("BOT_COMMAND_DESCRIPTION_INVALID")
        self.commands = found
        return True

    def _set_webhook(self, values: Values) -> object:
        url, secret = str(values.get("url", "")), str(values.get("secret_token", ""))
        if secret and not SECRET.fullmatch(secret):
            raise bad_request("secret token contains unallowed characters")
        self.inbox.want(list_of(values, "allowed_updates"))
        self.webhook = Webhook(url=url, secret=secret) if url else None
        return True

    def _webhook_info(self) -> object:
        url = "" if self.webhook is None else self.webhook.url
        return {
            "url": url,
            "has_custom_certificate": False,
            "pending_update_count": len(self.inbox),
        }
