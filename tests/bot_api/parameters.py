"""What a method was called with: form fields, as they came over the wire."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TypeAlias

from tests.bot_api.markup import Entity, parse_html, units
from tests.bot_api.refusals import bad_request

Values: TypeAlias = Mapping[str, str | bytes]


def text_of(
    values: Values, name: str, longest: int, too_long: str
) -> tuple[str, tuple[Entity, ...]]:
    source = values.get(name, "")
    if not isinstance(source, str):
        raise bad_request("strings must be encoded in UTF-8")
    match str(values.get("parse_mode", "")).lower():
        case "":
            text, entities = source, ()
        case "html":
            text, entities = parse_html(source)
        case _:
            raise bad_request("unsupported parse_mode")
    if units(text) > longest:
        raise bad_request(too_long)
    return text.strip(), entities


def number_of(values: Values, name: str, default: int) -> int:
    try:
        return int(values[name])
    except KeyError:
        return default
    except ValueError:
        raise bad_request(f"{name} must be a number") from None


def list_of(values: Values, name: str) -> list[str] | None:
    told = values.get(name)
    return None if told is None else [str(one) for one in json.loads(told)]


def replied_to(values: Values, messages: int) -> int | None:
    """The number of the message that is answered, in a chat that has had ``messages`` of them."""
    told = json.loads(str(values.get("reply_parameters", "{}")))
    number = told.get("message_id")
    if number is None or 0 < number <= messages:
        return None if number is None else int(number)
    if told.get("allow_sending_without_reply"):
        return None
    raise bad_request("message to be replied not found")
