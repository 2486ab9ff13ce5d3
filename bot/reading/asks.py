"""What the writer wants to know."""

from __future__ import annotations

from typing import cast

from bot.culture.vocabulary import Ask
from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark

_FRAMES = frozenset({"normal", "timing", "other"})
"""Asks that only say how something is asked; a subject beside them says more."""


def asks(message: Message, clauses: list[Clause]) -> list[tuple[Mark | None, Ask]]:
    found: list[tuple[Mark | None, Ask]] = []
    for clause in clauses:
        if not _asking(message, clause):
            continue
        for mark, ask in _of(message, clause):
            if all(one != ask for _, one in found):
                found.append((mark, ask))
    if len(found) > 1:
        found = [one for one in found if one[1] != "other"] or found
    return found


def _asking(message: Message, clause: Clause) -> bool:
    return clause.mood != "told" or clause.queried


def _of(message: Message, clause: Clause) -> list[tuple[Mark | None, Ask]]:
    scored: list[tuple[int, int, Mark, Ask]] = []
    for mark, meaning in clause.all("ask"):
        scored.append((mark.last - mark.first, -mark.first, mark, cast("Ask", meaning)))
    if not scored:
        return [(None, "other")] if clause.mood != "told" else []
    subjects = [one for one in scored if one[3] not in _FRAMES]
    best = max(subjects or scored)
    return [(best[2], best[3])]
