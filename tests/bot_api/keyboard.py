"""Buttons under a message."""

from __future__ import annotations

import json
from dataclasses import dataclass

from tests.bot_api.refusals import bad_request

MOST_BUTTONS = 100
WIDEST_ROW = 8
MOST_BYTES = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Button:
    text: str
    data: str


def read_keyboard(source: object) -> tuple[tuple[Button, ...], ...]:
    """Rows of buttons; refuses what the service would refuse. None or "": no buttons."""
    if source in (None, ""):
        return ()
    told = json.loads(source) if isinstance(source, str) else source
    match told:
        case {"inline_keyboard": [*rows]}:
            found = tuple(tuple(_button(one) for one in row) for row in rows if row)
        case _:
            raise bad_request("object expected as reply markup")
    if sum(len(row) for row in found) > MOST_BUTTONS or any(len(row) > WIDEST_ROW for row in found):
        raise bad_request("reply markup is too long")
    return found


def _button(told: object) -> Button:
    match told:
        case {"text": str(text), "callback_data": str(data)} if text.strip():
            if not is_sound(text) or not is_sound(data):
                raise bad_request("strings must be encoded in UTF-8")
            if not 1 <= len(data.encode()) <= MOST_BYTES:
                raise bad_request("BUTTON_DATA_INVALID")
            return Button(text=text, data=data)
        case _:
            raise bad_request("can't parse inline keyboard button: Text buttons are unallowed")


def is_sound(text: str) -> bool:
    """JSON can smuggle in half a character; UTF-8 cannot."""
    return not any("\ud800" <= character <= "\udfff" for character in text)


def keyboard_json(rows: tuple[tuple[Button, ...], ...]) -> dict[str, object]:
    return {
        "inline_keyboard": [
            [{"text": button.text, "callback_data": button.data} for button in row] for row in rows
        ]
    }
