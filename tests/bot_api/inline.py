"""Answers to inline queries, checked."""

from __future__ import annotations

import json
from dataclasses import dataclass

from tests.bot_api.markup import Entity
from tests.bot_api.parameters import Values, number_of, text_of
from tests.bot_api.refusals import bad_request

LONGEST_TEXT = 4096
MOST_RESULTS = 50
LONGEST_ID = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Article:
    """What is offered, and what is posted by who takes it."""

    title: str
    description: str
    text: str
    entities: tuple[Entity, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class InlineAnswer:
    query_id: str
    articles: tuple[Article, ...]
    cache_s: int
    is_personal: bool


def read_inline_answer(values: Values) -> InlineAnswer:
    """Refuses what the service would refuse."""
    told = json.loads(str(values.get("results", "null")))
    if not isinstance(told, list) or len(told) > MOST_RESULTS:
        raise bad_request("can't parse inline query results")
    ids = [str(one["id"]) for one in told]
    if len(set(ids)) < len(ids) or not all(1 <= len(one.encode()) <= LONGEST_ID for one in ids):
        raise bad_request("RESULT_ID_INVALID")
    return InlineAnswer(
        query_id=str(values.get("inline_query_id", "")),
        articles=tuple(_article(one) for one in told),
        cache_s=number_of(values, "cache_time", 300),
        is_personal=str(values.get("is_personal", "")).lower() == "true",
    )


def _article(told: dict[str, object]) -> Article:
    match told:
        case {"type": "article", "title": str(title), "input_message_content": dict(content)}:
            form = {name: str(value) for name, value in content.items()}
            text, entities = text_of(form, "message_text", LONGEST_TEXT, "MESSAGE_TOO_LONG")
            if not text or not title:
                raise bad_request("MESSAGE_EMPTY")
            about = str(told.get("description", ""))
            return Article(title=title, description=about, text=text, entities=entities)
        case _:
            raise bad_request("can't parse inline query result")
