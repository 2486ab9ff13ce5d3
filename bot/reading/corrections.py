"""Whether a message mends what its writer reported before."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.clauses import Clause, Message

_CLOSE = 8
"""Words within which "sorry" and "not" belong together: "sorry it was rye not spelt"."""


def corrects(message: Message, parts: list[Clause]) -> bool:
    """ "No, 24 not 34", "I said it doubled, it didnt"; an apology alone corrects nothing."""
    if any(one.means("correct", "strong") for one in message.marks):
        return True
    if any(one.retracted for one in parts):
        return True
    words = message.words
    for mark in message.marks:
        if mark.says("correct"):
            near = words[max(0, mark.first - _CLOSE) : mark.last + _CLOSE]
            if any(_replaces(near, at) for at in range(1, len(near) - 1)):
                return True
    return bool(words) and words[0] == "no" and "not" in words[2:_CLOSE] and bool(message.amounts)


def _replaces(words: Sequence[str], at: int) -> bool:
    return words[at] == "not" and words[at - 1] not in (
        "is",
        "was",
        "im",
        "its",
        "did",
        "do",
        "has",
        "sorry",
        ",",
    )
