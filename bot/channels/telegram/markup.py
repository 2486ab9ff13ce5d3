"""A Message as the service shows it: HTML with everything escaped, choices as buttons.

The limits are the Bot API's: 4,096 characters of text, 64 bytes behind a button. Characters are
counted as UTF-16 units, the stricter of the two ways to read that sentence.
"""

from __future__ import annotations

import html
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Final

from bot.voice.message import Choice, Message

LONGEST_TEXT: Final = 4096
LONGEST_CAPTION: Final = 1024
LONGEST_HEADING: Final = 256
LONGEST_ROW: Final = 30
"""Letters of the labels in one row that a narrow phone shows whole."""
WIDEST_ROW: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What one call sends. ``rows`` of choices are on the last part only.

    With a ``picture`` (PNG) the text is the caption under it, and may be empty.
    """

    text: str
    html: bool
    rows: tuple[tuple[Choice, ...], ...] = ()
    picture: bytes | None = None


def parts(message: Message) -> tuple[Part, ...]:
    """The message in HTML, cut where a reader would pause if it is too long for one call."""
    heading = sound(message.heading or "").strip()
    pieces = cut(_joined(heading, _body(message)), LONGEST_TEXT)
    texts = [html.escape(piece, quote=False) for piece in pieces]
    if heading and units(heading) <= LONGEST_HEADING:
        bold = html.escape(heading, quote=False)
        texts[0] = f"<b>{bold}</b>{texts[0].removeprefix(bold)}"
    return _numbered(texts, html=True, rows=rows(message.choices))


def picture_parts(message: Message, picture: bytes) -> tuple[Part, ...]:
    """The message under its picture; below it, in messages of its own, when it is too long.

    The service has no place for an alternative text, so what the picture shows is told there too.
    """
    said = parts(message)
    if units(message.plain) <= LONGEST_CAPTION:
        return (replace(said[0], picture=picture),)
    return (Part(text="", html=False, picture=picture), *said)


def plain_parts(message: Message) -> tuple[Part, ...]:
    """The message without markup or buttons, for when the service found fault with those."""
    return _numbered(cut(message.plain, LONGEST_TEXT), html=False, rows=())


def rows(choices: Sequence[Choice]) -> tuple[tuple[Choice, ...], ...]:
    """Choices in rows, in their order, short ones side by side."""
    found: list[list[Choice]] = []
    for choice in choices:
        row = found[-1] if found else []
        letters = sum(len(one.label) for one in row) + len(choice.label)
        if row and len(row) < WIDEST_ROW and letters <= LONGEST_ROW:
            row.append(choice)
        else:
            found.append([choice])
    return tuple(tuple(row) for row in found)


def cut(text: str, longest: int) -> tuple[str, ...]:
    """``text`` in pieces of at most ``longest`` UTF-16 units: between paragraphs if that can be,
    else between lines, sentences, words, and in the middle of a word only as the last resort."""
    text = sound(text).strip()
    return tuple(_pieces(text, longest)) or (text,)


def units(text: str) -> int:
    """Length in UTF-16 code units."""
    return len(text) + sum(character > "\uffff" for character in text)


def sound(text: str) -> str:
    """Without what no encoding can write (lone surrogates) and no database keeps (NUL)."""
    whole = text.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")
    return whole.replace("\x00", "")


def _pieces(text: str, longest: int) -> Iterator[str]:
    while units(text) > longest:
        head = text[:longest]
        while units(head) > longest:
            head = head[: len(head) - max(1, (units(head) - longest) // 2)]
        at = _pause(head)
        if piece := text[:at].rstrip():
            yield piece
        text = text[at:].lstrip()
    if text:
        yield text


def _pause(head: str) -> int:
    """Where to cut: after the last pause in the second half of ``head``, else at its end."""
    for pause in ("\n\n", "\n", ". ", " "):
        at = head.rfind(pause)
        if at >= len(head) // 2:
            return at + len(pause)
    return len(head)


def _body(message: Message) -> str:
    return replace(message, heading=None).plain


def _joined(*texts: str | None) -> str:
    return "\n".join(text for text in texts if text)


def _numbered(
    texts: Sequence[str], *, html: bool, rows: tuple[tuple[Choice, ...], ...]
) -> tuple[Part, ...]:
    last = len(texts) - 1
    return tuple(
        Part(text=text, html=html, rows=rows if at == last else ()) for at, text in enumerate(texts)
    )
