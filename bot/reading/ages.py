"""Whether what a clause tells is now, a while ago, or over."""

from __future__ import annotations

from bot.reading.clauses import Clause
from bot.reading.marks import Mark


def settle_age(clause: Clause) -> None:
    words = clause.message.words
    if any(not _measures_from(clause, mark) for mark, _ in clause.all("now")):
        return
    for mark, meaning in clause.all("past"):
        if _measures_from(clause, mark):
            continue
        clause.age = max(clause.age, 2 if meaning == "strong" else 1)
    for amount in clause.amounts:
        if amount.unit in ("day", "week", "month") and clause.message.says(amount.last, "ago"):
            clause.age = 2
    for at in range(clause.first + 1, clause.last - 1):
        if words[at] == "day" and words[at - 1] == "on" and words[at + 1].isdigit():
            clause.age = max(clause.age, 1)


def _measures_from(clause: Clause, mark: Mark) -> bool:
    """Whether a time word only says what is compared: "higher than yesterday", "as at the start"."""
    words = clause.message.words
    before = words[mark.first - 1] if mark.first > clause.first else ""
    if before in ("than", "as", "from", "since", "like", "what", "where"):
        return True
    return words[mark.first - 2 : mark.first] in (["where", "it"], ["what", "it"], ["than", "it"])


def settle_days(found: list[Clause]) -> None:
    """ "Day 3 it tripled, day 4 flat, today nothing": the last day told is now, those before are over.

    Likewise "it was bubbly, now its flat": what was is over once something is said of now.
    """
    present = max((at for at, one in enumerate(found) if _of_now(one)), default=-1)
    days = [_day_number(one) for one in found]
    told = [one for one in days if one is not None]
    day: int | None = None
    for at, clause in enumerate(found):
        day = days[at] if days[at] is not None else (None if clause.opener == "" else day)
        if clause.has("now"):
            day = None
        elif (day is not None and (day < max(told) or at < present)) or (
            clause.age == 1 and at < present
        ):
            clause.age = 2


def _of_now(clause: Clause) -> bool:
    return any(clause.message.words[mark.first] in _NOW for mark, _ in clause.all("now"))


_NOW = frozenset({"now", "today", "currently", "atm", "nowadays", "rn"})


def _day_number(clause: Clause) -> int | None:
    words = clause.words
    for at in range(len(words) - 1):
        if words[at] == "day" and words[at + 1].isdigit() and len(words[at + 1]) < 4:
            return int(words[at + 1])
    return None
