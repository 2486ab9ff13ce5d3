"""What meant nothing to the reader, and whether a message is in another language altogether."""

from __future__ import annotations

from bot.reading.clauses import Message
from bot.reading.lexicon import Lexicon

_MOST_UNKNOWN = 0.6
_FEWEST = 3
"""Unknown words below which their share says nothing of the language."""


def unread(message: Message, words: Lexicon) -> tuple[str, ...]:
    """The runs of words, as typed, that are not in the lexicon."""
    found: list[str] = []
    run: list[int] = []
    for at, token in enumerate(message.tokens):
        if token.kind == "noise" or (token.kind == "word" and _unknown(message, at, words)):
            run.append(at)
        elif run:
            found.append(_typed(message, run))
            run = []
    if run:
        found.append(_typed(message, run))
    return tuple(found)


def is_foreign(message: Message, words: Lexicon) -> bool:
    """Whether most of the words are of no language the reader has: then it guesses nothing."""
    said = [at for at, token in enumerate(message.tokens) if token.kind == "word"]
    unknown = sum(_unknown(message, at, words) for at in said)
    return unknown >= _FEWEST and unknown / len(said) >= _MOST_UNKNOWN


def _unknown(message: Message, at: int, words: Lexicon) -> bool:
    return message.words[at] not in words.vocabulary


def _typed(message: Message, run: list[int]) -> str:
    return message.text[message.tokens[run[0]].start : message.tokens[run[-1]].end]
