"""The HTML style of formatting, read as strictly as it is published.

Published: "All <, > and & symbols that are not a part of a tag or an HTML entity must be replaced
with the corresponding HTML entities". The service itself lets a lone > or & pass; this reader does
not, so that a forgotten escape is found here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from tests.bot_api.refusals import Refusal, bad_request

KINDS = {
    "b": "bold",
    "strong": "bold",
    "i": "italic",
    "em": "italic",
    "u": "underline",
    "ins": "underline",
    "s": "strikethrough",
    "strike": "strikethrough",
    "del": "strikethrough",
    "tg-spoiler": "spoiler",
    "code": "code",
    "pre": "pre",
    "blockquote": "blockquote",
    "a": "text_link",
}
NAMED = {"lt": "<", "gt": ">", "amp": "&", "quot": '"'}
TOKEN = re.compile(
    r"(?P<close></(?P<closed>[a-z-]+)\s*>)"
    r"|(?P<open><(?P<opened>[a-zA-Z-]+)(?P<attributes>(?:\s+[a-z-]+=\"[^\"<>]*\")*)\s*>)"
    r"|(?P<entity>&(?P<name>[a-zA-Z]+|#\d+|#x[0-9a-fA-F]+);)"
    r"|(?P<stray>[<>&])"
    r"|(?P<text>[^<>&]+)"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entity:
    """``offset`` and ``length`` in UTF-16 code units, as the service counts."""

    kind: str
    offset: int
    length: int


def units(text: str) -> int:
    return len(text.encode("utf-16-le")) // 2


def parse_html(source: str) -> tuple[str, tuple[Entity, ...]]:
    """The text without its tags, and where each style holds. Refuses what is not well formed."""
    text, found = "", list[Entity]()
    open_tags: list[tuple[str, int]] = []
    for token in TOKEN.finditer(source):
        at = token.start()
        if token["text"]:
            text += token["text"]
        elif token["entity"]:
            text += _character(token["name"], source, at)
        elif token["close"]:
            found.append(_closed(token["closed"], open_tags, text, source, at))
        elif token["open"]:
            tag = token["opened"].lower()
            if tag not in KINDS:
                raise _wrong(source, at, f'Unsupported start tag "{tag}"')
            open_tags.append((tag, units(text)))
        else:
            raise _wrong(source, at, f"Unescaped {token['stray']!r}")
    if open_tags:
        tag = open_tags[-1][0]
        end = len(source)
        raise _wrong(source, end, f'Can\'t find end tag corresponding to start tag "{tag}"')
    return text, tuple(entity for entity in found if entity.length)


def _closed(tag: str, open_tags: list[tuple[str, int]], text: str, source: str, at: int) -> Entity:
    if not open_tags:
        raise _wrong(source, at, "Unexpected end tag")
    opened, offset = open_tags.pop()
    if opened != tag:
        what = f'Unmatched end tag, expected "</{opened}>", found "</{tag}>"'
        raise _wrong(source, at, what)
    return Entity(kind=KINDS[tag], offset=offset, length=units(text) - offset)


def _character(name: str, source: str, at: int) -> str:
    if name in NAMED:
        return NAMED[name]
    if name.startswith("#"):
        code = int(name[2:], 16) if name[1] == "x" else int(name[1:])
        if 0 < code < 0x110000 and not 0xD800 <= code < 0xE000:
            return chr(code)
    raise _wrong(source, at, f'Unsupported entity "&{name};"')


def _wrong(source: str, at: int, what: str) -> Refusal:
    offset = len(source[:at].encode())
    return bad_request(f"can't parse entities: {what} at byte offset {offset}")
