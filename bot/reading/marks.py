"""What the lexicon and the numbers say of a message's tokens, before anybody weighs it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from bot.reading.lexicon import Lexicon, Node, Sense
from bot.reading.text import Token

MOST_GUESSES = 80
"""Unknown words of one message that are tried as misspellings; a page of noise is no message."""


class Mark(NamedTuple):
    """Tokens ``first..last`` (end excluded) are a phrase of the lexicon with these meanings.

    A tuple for speed: every word of a message may make several.
    """

    first: int
    last: int
    senses: tuple[Sense, ...]

    def says(self, category: str) -> str | None:
        """The meaning within a category, if the phrase has one."""
        for name, meaning in self.senses:
            if name == category:
                return meaning
        return None

    def means(self, category: str, meaning: str) -> bool:
        return (category, meaning) in self.senses


def marks(words: Sequence[str], lexicon: Lexicon) -> dict[str, list[Mark]]:
    """Per group, the longest phrases from left to right, none overlapping another of its group."""
    found: dict[str, list[Mark]] = {group: [] for group in lexicon.groups}
    free = dict.fromkeys(lexicon.groups, 0)
    heads, end = lexicon.heads, len(words)
    for at, word in enumerate(words):
        for group, head in heads.get(word, ()):
            if free[group] > at:
                continue
            if not head.more:
                found[group].append(Mark(at, at + 1, head.senses))
                continue
            node: Node | None = head
            best: tuple[Sense, ...] = ()
            best_end = ahead = at
            while node is not None:
                ahead += 1
                if node.senses:
                    best, best_end = node.senses, ahead
                if ahead >= end or not node.more:
                    break
                node = node.more.get(words[ahead])
            if best:
                found[group].append(Mark(at, best_end, best))
                free[group] = best_end
    return found


def mended(tokens: Sequence[Token], lexicon: Lexicon) -> list[str]:
    """The words of the tokens, with misspellings put right."""
    left = MOST_GUESSES
    out: list[str] = []
    vocabulary = lexicon.vocabulary
    for token in tokens:
        word = token.word
        if token.kind == "word" and word not in vocabulary and left:
            left -= 1
            word = lexicon.mend(word)
        out.append(word)
    return out
