"""The calendar day a clause tells: "yesterday", "sat", "3 May", "14/7", "two days ago"."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from bot.reading.clauses import Clause, Message

_LONG_AGO = 60
"""Days; a date of day and month is of the last two months, or it is no date."""


def day_of(message: Message, clause: Clause, at: datetime) -> tuple[date, bool] | None:
    """The day, and whether it names only a weekday (which comes again every seven days)."""
    dated = _dated(message, clause, at)
    if dated is not None:
        return dated, False
    for _, meaning in clause.all("day"):
        match meaning:
            case "yesterday":
                return at.date() - timedelta(days=1), False
            case "before":
                return at.date() - timedelta(days=2), False
            case "today":
                return at.date(), False
            case _:
                pass
    named = weekday(message, clause)
    if named is None:
        return None
    back = (at.weekday() - named) % 7
    return at.date() - timedelta(days=back), True


def weekday(message: Message, clause: Clause) -> int | None:
    """The first weekday a clause names, Monday is 0; "sun" only where it cannot be the sun."""
    for mark, meaning in clause.all("weekday"):
        if not _is_object(message, mark.first):
            return int(meaning)
    for at in range(clause.first, clause.last):
        if message.words[at] == "sun" and message.words[at - 1 : at] != ["the"]:
            behind = message.words[at + 1 : at + 2]
            timed = message.tokens[at + 1].kind in ("clock", "number") if behind else False
            if timed or behind in (["at"], ["@"], ["morning"], ["night"], ["evening"]):
                return 6
    return None


def _is_object(message: Message, at: int) -> bool:
    """ "The friday loaf", "for saturday": a day that is not when it was done."""
    return message.words[at - 1 : at] == ["for"] if at else False


def _dated(message: Message, clause: Clause, at: datetime) -> date | None:
    words = message.words
    for index in range(clause.first, clause.last):
        if message.tokens[index].kind == "date":
            return _written(words[index], at)
        if words[index] == "/" and (slashed := _slashed(message, index, at)):
            return slashed
    for amount in clause.amounts:
        if amount.unit in ("day", "week") and message.says(amount.last, "ago"):
            days = amount.value * (7 if amount.unit == "week" else 1)
            return at.date() - timedelta(days=round(days))
    for index in range(clause.first, clause.last - 1):
        if (ordinal := _ordinal(message, clause, index)) and (found := _of_month(ordinal, at)):
            return found
    for mark, meaning in clause.all("month"):
        day = _day_beside(message, mark.first, mark.last)
        if day is not None and (found := _recent(day, int(meaning), at)):
            return found
    return None


def _day_beside(message: Message, first: int, last: int) -> int | None:
    """The day of "3 May", "the 3rd of May", "May 3", "june 10th"."""
    words = message.words
    before = first - 1
    if before >= 0 and words[before] == "of":
        before -= 1
    if before >= 0 and words[before] in _ORDINALS:
        before -= 1
    if before >= 0 and words[before].isdigit() and 1 <= int(words[before]) <= 31:
        return int(words[before])
    if last < len(words) and words[last].isdigit() and 1 <= int(words[last]) <= 31:
        behind = words[last + 1] if last + 1 < len(words) else ""
        return None if behind in ("am", "pm", ":") else int(words[last])
    return None


def _ordinal(message: Message, clause: Clause, index: int) -> int | None:
    """The day of "on the 10th"; "the 10th feed" counts feeds, "the 3rd of May" has its month."""
    words = message.words
    number, suffix = words[index], words[index + 1]
    if suffix not in _ORDINALS or message.tokens[index + 1].spaced or not number.isdigit():
        return None
    if words[index - 1 : index] not in (["the"], ["on"]) or not 1 <= int(number) <= 31:
        return None
    behind = words[index + 2] if index + 2 < clause.last else ""
    ends = not behind or not behind.isalpha() or message.says(index + 2, "clock") is not None
    return int(number) if ends or message.at(index + 2, "part") is not None else None


def _of_month(day: int, at: datetime) -> date | None:
    """The latest past day of so many of a month: this month's or the one before's."""
    before = at.date().replace(day=1) - timedelta(days=1)
    return _recent(day, at.month, at) or _recent(day, before.month, at)


_ORDINALS = frozenset({"st", "nd", "rd", "th"})


def _slashed(message: Message, slash: int, at: datetime) -> date | None:
    """ "14/7": not a fraction of a cup, which a unit or an ingredient follows."""
    words = message.words
    if not 0 < slash < len(words) - 1:
        return None
    first, second = words[slash - 1], words[slash + 1]
    if not (first.isdigit() and second.isdigit()) or message.tokens[slash].spaced:
        return None
    behind = slash + 2
    measured = any(
        message.at(behind, one) is not None for one in ("unit", "flour", "ingredient", "each")
    )
    if measured or words[behind : behind + 1] in (["of"], ["full"], ["/"], ["c"]):
        return None
    if slash > 1 and (words[slash - 2].isdigit() or words[slash - 2] == "/"):
        return None
    return _nearest(int(first), int(second), at)


def _written(text: str, at: datetime) -> date | None:
    parts = [int(one) for one in text.replace("/", "-").split("-")]
    try:
        if len(text.split("-")[0]) == 4:
            return date(parts[0], parts[1], parts[2])
    except ValueError:
        return None
    return _nearest(parts[0], parts[1], at)


def _nearest(first: int, second: int, at: datetime) -> date | None:
    """Day and month in either order, whichever is the nearer past: 14/7 cannot be a month."""
    found = [_recent(day, month, at) for day, month in ((first, second), (second, first))]
    return max((one for one in found if one is not None), default=None)


def _recent(day: int, month: int, at: datetime) -> date | None:
    for year in (at.year, at.year - 1):
        try:
            one = date(year, month, day)
        except ValueError:
            continue
        if one <= at.date():
            return one if (at.date() - one).days <= _LONG_AGO else None
    return None
