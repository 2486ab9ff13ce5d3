"""How far a "no" at the head of a list reaches: "no bubbles, mould or smell" denies all three."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.clauses import Clause

_LONGEST_ITEM = 4
"""Words of one item; a longer one is a sentence of its own."""

_LONGEST_HEAD = 6
_ENDS = frozenset({"or", "nor"})
_OWN = ("neg", "where", "act", "double", "now", "iffy")
_SUBJECTS = frozenset({"i", "it", "its", "there", "this", "that", "but", "just", "only", "still"})


def settle_lists(found: Sequence[Clause]) -> None:
    """Let the denial that opens a list of bare items, the last behind "or", reach each of them."""
    for at, clause in enumerate(found):
        if not _denies_to_its_end(clause):
            continue
        for item in _items(found[at + 1 :], clause):
            item.listed_to = item.last


def _denies_to_its_end(clause: Clause) -> bool:
    single = clause.message.single
    start = max(clause.first, clause.last - _LONGEST_HEAD)
    negs = [at for at in range(start, clause.last) if ("neg", "word") in single[at]]
    return bool(negs) and not any(
        clause.message.says(at, "join") == "but" for at in range(negs[-1], clause.last)
    )


def _items(after: Sequence[Clause], head: Clause) -> list[Clause]:
    run: list[Clause] = []
    for item in after:
        words = item.words
        if item.sentence != head.sentence or item.opener != "," or not _bare(item):
            return []
        run.append(item)
        joint = next((at for at, word in enumerate(words) if word in _ENDS), None)
        if joint is not None:
            return [] if _tints_one_thing(item, item.first + joint, head) else run
    return []


def _bare(item: Clause) -> bool:
    words = [one for one in item.words if one not in _ENDS]
    if len(words) > _LONGEST_ITEM or not words or words[0] in _SUBJECTS:
        return False
    return not any(item.has(one) for one in _OWN) and not item.amounts


def _tints_one_thing(item: Clause, joint: int, head: Clause) -> bool:
    """ "No bubbles, pink or orange streaks": two colours of one thing are seen, not denied."""
    before = item.message.at(joint - 1, "colour")
    return before is not None and not head.has("colour")
