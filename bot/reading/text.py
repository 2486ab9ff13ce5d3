"""From what was typed to tokens: one plain spelling of every character, and where it stood."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from typing import Literal, NamedTuple

LONGEST = 4096
"""Characters of one message that are read; the rest is left unread (contract: 4,096)."""

MOST_TOKENS = 1_000
"""Tokens of one message that are read; 4,096 characters of speech have fewer, noise may have more."""

Kind = Literal["word", "number", "ratio", "clock", "date", "sign", "noise"]

_QUOTES = str.maketrans(dict.fromkeys("‘’`´ʼ′＇", "'") | dict.fromkeys("“”„″«»", '"'))
_DASHES = frozenset("–—―−‐‑‒﹣－")

# Alternatives are tried in order, each is bounded, none nests a repeat: no backtracking to speak of.
_DIGITS = r"""
      (?P<date>\d{4}-\d{1,2}-\d{1,2} | \d{1,2}/\d{1,2}/\d{2,4})
    | (?P<ratio>(?<![\d.:])\d{1,4}(?:\.\d{1,2})?\s?(?P<by>[:;/-])\s?\d{1,4}(?:\.\d{1,2})?\s?(?P=by)\s?\d{1,4}(?:\.\d{1,2})?(?![\d:]))
    | (?P<clock>\d{1,2}:\d{2}(?!\d) | \d{1,2}h\d{2}(?!\d))
    | (?P<number>\d{1,3}(?:,\d{3})+(?!\d) | \d{1,9}(?:[.,]\d{1,4})? | \.\d{1,4})
"""
_WORD = r"(?P<word>[^\W\d_]+(?:'[^\W\d_]+)*)"
_SIGN = r"(?P<sign>-+> | \.{2,} | [!?]+ | \n\s* | \S)"
_LONG = r"\d{10,4096}"
_ADDRESS = r"(?:https?://|www\.)\S{1,2000} | <[a-z/!][^<>\s]{0,200}> | \S{1,64}@\w{1,64}\.\w{2,20}"

_TOKEN = re.compile(f"(?P<noise>{_ADDRESS} | {_LONG}) | {_DIGITS} | {_WORD} | {_SIGN}", re.VERBOSE)
_TOKEN_OF_SPEECH = re.compile(f"{_WORD} | (?P<noise>{_LONG}) | {_DIGITS} | {_SIGN}", re.VERBOSE)
"""The same where no address or markup can stand, which is nearly everywhere; words come first."""
_OF_ADDRESSES = re.compile(r"@|<|://|www\.")


class Token(NamedTuple):
    """A piece of the message: its plain ``word``, and the characters ``start..end`` it was read from.

    A tuple, for a message has many and a tuple is made several times as quickly as a frozen dataclass.
    """

    word: str
    start: int
    end: int
    kind: Kind
    spaced: bool
    """Whether white space, or the start of the text, stands before it."""


def tokens(text: str, pictures: Mapping[str, str]) -> list[Token]:
    """The tokens of ``text``; ``pictures`` maps an emoji to the words it stands for.

    Apostrophes are dropped ("doesn't" is "doesnt"), a hyphen between letters parts two words.
    """
    plain, origin = _plain(text[:LONGEST], pictures)
    found: list[Token] = []
    last = 0
    pattern = _TOKEN if _OF_ADDRESSES.search(plain) else _TOKEN_OF_SPEECH
    for match in pattern.finditer(plain):
        if len(found) == MOST_TOKENS:
            break
        kind = match.lastgroup
        start, end = match.span()
        word = match.group()
        spaced = start == 0 or start > last or plain[start - 1].isspace()
        last = end
        if kind == "word":
            if "'" in word:
                word = _joined(word)
        elif kind == "date" and not _dated(word):
            kind = "ratio"
        elif kind == "by" or kind == "ratio":
            kind = "ratio"
            word = word.replace(" ", "").replace(";", ":")
        elif kind == "sign":
            if word == "-" and _between_letters(plain, start):
                continue
            if word[0] == "\n":
                word = "\n"
            elif word[0] in "!?" and len(word) > 1:
                word = "?" if "?" in word else "!"
            elif word[0] == "-":
                word = "->" if word[-1] == ">" else "-"
        found.append(
            Token(word, origin[start], origin[end - 1] + 1, kind, spaced)  # type: ignore[arg-type]
        )
    return found


def _dated(word: str) -> bool:
    """Whether three numbers can be a date: "14/7/2026" can, "20/40/40" cannot."""
    parts = [int(one) for one in word.replace("/", "-").split("-")]
    if parts[0] > 1900:
        return True
    return max(parts[0], parts[1]) <= 31 and min(parts[0], parts[1]) <= 12 and parts[2] >= 2000


def _joined(word: str) -> str:
    # "I'll" must not become "ill", nor "we're" "were": both mean something else here.
    if word.endswith("'ll"):
        return word[:-3] + "will"
    if word.endswith("'re"):
        return word[:-3] + " are" if word == "we're" else word.replace("'", "")
    return word.replace("'", "")


def _between_letters(plain: str, at: int) -> bool:
    return 0 < at < len(plain) - 1 and plain[at - 1].isalpha() and plain[at + 1].isalpha()


def _plain(text: str, pictures: Mapping[str, str]) -> tuple[str, range | list[int]]:
    if text.isascii():
        return text.lower().replace("`", "'"), range(len(text))
    out: list[str] = []
    origin: list[int] = []
    for at, char in enumerate(text):
        piece = _piece(char, pictures)
        # An apostrophe typed with an accent key must not break a number or a word in two.
        out.append(piece)
        origin.extend([at] * len(piece))
    return "".join(out), origin


def _piece(char: str, pictures: Mapping[str, str]) -> str:
    if char.isascii():
        return "'" if char == "`" else char.lower()
    if char in pictures:
        return f" {pictures[char]} "
    if char in _DASHES:
        return "-"
    if char in "→➜➡⇒":
        return "->"
    if char in "×✕✖":
        return "x"
    quoted = char.translate(_QUOTES)
    if quoted != char:
        return quoted
    category = unicodedata.category(char)
    if category in ("Cf", "Mn", "Me", "Cs"):
        return ""
    folded = unicodedata.normalize("NFKC", char)
    if "⁄" in folded:
        return " " + folded.replace("⁄", "/") + " "
    return folded.lower()
