"""Slips in the words that questions are made of, where the lexicon is too careful to mend them.

"Wen do i fede", "how meny": such words are short and a slip from many others, so they are mended
only here, for what is asked, and never for what is told of a jar.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from rapidfuzz.distance import OSA

from bot.reading.asking import asking
from bot.reading.lexicon import lexicon

_SHORTEST = 3
_LONGEST = 12
_BOLD = 5
"""Letters from which one wrong letter is a slip though the word sounds another way."""
_COURTESIES = frozenset({"lol", "haha", "please", "pls", "thanks", "thx", "ty", "x", "xx", "cheers", "guys", "mate", "folks"})  # fmt: skip
_ALIKE = (("wh", "w"), ("ph", "f"), ("ck", "k"), ("c", "k"), ("y", "i"), ("z", "s"), ("oo", "u"), ("gh", ""))  # fmt: skip
"""Spellings that sound alike."""


def plainly(words: Sequence[str]) -> str:
    """The words as one text, slips in the words of a question mended, courtesies at its end left out."""
    known = lexicon().vocabulary
    end = len(words)
    while end > 1 and words[end - 1] in _COURTESIES:
        end -= 1
    words = words[:end]
    return " ".join(one if one in known else _mended(one) for one in words)


@lru_cache(maxsize=4096)
def _mended(word: str) -> str:
    if not word.isalpha() or not _SHORTEST <= len(word) <= _LONGEST:
        return word
    sound = _sound(word)
    best, best_cost = word, 2
    for candidate in asking().core:
        if candidate[0] != word[0] and _sound(candidate)[0] != sound[0]:
            continue
        cost = OSA.distance(word, candidate, score_cutoff=2)
        if _sound(candidate) == sound and len(sound) > 1 and cost < min(3, len(word) - 1):
            return candidate
        if cost < best_cost and min(len(word), len(candidate)) >= _BOLD:
            best, best_cost = candidate, cost
    return best


def _sound(word: str) -> str:
    for written, spoken in _ALIKE:
        word = word.replace(written, spoken)
    out = word[:1]
    for letter in word[1:]:
        if letter not in "aeiouh" and letter != out[-1]:
            out += letter
    return out
