"""What was kept of the culture to feed: "kept 25g", "down to 20", "all but a spoonful"."""

from __future__ import annotations

from bot.culture.quantities import Range
from bot.reading.amounts import Amount
from bot.reading.clauses import Clause, Message
from bot.reading.masses import grams

_KEEPING = frozenset({"kept", "keep", "keeping", "saved", "saving", "reserved", "retained", "leaving"})  # fmt: skip
_DOWN = frozenset({"down", "discarded", "discard", "reduced", "cut", "back", "trimmed", "culled"})
_EXCEPT = frozenset({"but", "except", "bar"})
_WHOLES = frozenset({"all", "everything", "whole", "lot"})
_BEHIND = frozenset({"of", "and", "in", "from", "back", "then", "n", "+", "for", "to", "with", "w"})
_FEWEST = 3
"""A smaller bare number is a count, not grams."""


def kept(message: Message, clause: Clause) -> Range | None:
    """The mass of culture that a clause says was kept, in grams; None for none."""
    for amount in clause.amounts:
        if amount.first < clause.iffy_at and is_kept(message, clause, amount):
            return grams(amount, "starter")
    return None


def is_kept(message: Message, clause: Clause, amount: Amount) -> bool:
    """Whether an amount is what was left in the jar, not what was taken out or put in."""
    if not _can_be_kept(message, clause, amount):
        return False
    words = message.words
    before = list(words[max(clause.first, amount.first - 4) : amount.first])
    if _KEEPING & set(before[-2:]):
        return True
    if before[-1:] == ["to"] and _DOWN & set(before):
        return True
    return _excepted(message, clause, amount, before)


def _can_be_kept(message: Message, clause: Clause, amount: Amount) -> bool:
    if amount.part or message.at(amount.last, "flour") is not None:
        return False
    if message.says(amount.last, "ingredient") == "water":
        return False
    if amount.kind in ("mass", "volume"):
        return True
    behind = message.words[amount.last : min(amount.last + 1, clause.last)]
    alone = not behind or behind[0] in _BEHIND or message.says(amount.last, "ingredient")
    return amount.kind == "bare" and not amount.worded and amount.value >= _FEWEST and bool(alone)


def _excepted(message: Message, clause: Clause, amount: Amount, before: list[str]) -> bool:
    """ "Binned all but 20g": the exception, in this clause or as the next one."""
    if _EXCEPT & set(before[-2:]) and _WHOLES & set(before):
        return True
    if clause.opener not in _EXCEPT or amount.first > clause.first + 2 or not clause.number:
        return False
    return bool(_WHOLES & set(message.clauses[clause.number - 1].words[-3:]))
