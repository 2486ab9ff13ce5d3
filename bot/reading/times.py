"""When something was done: clock times, days and hours ago, from the moment of writing."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

from bot.reading.amounts import Amount
from bot.reading.clauses import Clause, Message

_LATE = timedelta(minutes=20)
"""A clock time this far ahead of the writing is a rounded now, not yesterday's."""


def moment(message: Message, clause: Clause, at: datetime) -> datetime | None:
    """The instant a clause tells for an act, in the writer's zone; None when it is vague or not told."""
    ago = _ago(message, clause, at)
    if ago is not None:
        return ago
    wall = _clock(message, clause)
    if wall is None:
        return None
    hour, minute, half_day = wall
    return _place(clause, at, hour, minute, half_day)


def _ago(message: Message, clause: Clause, at: datetime) -> datetime | None:
    for amount in clause.amounts:
        if amount.unit in ("hour", "minute") and message.says(amount.last, "ago"):
            moved = at.astimezone(UTC) - timedelta(
                hours=amount.value / (60 if amount.unit == "minute" else 1)
            )
            return moved.astimezone(at.tzinfo)
    return None


def _clock(message: Message, clause: Clause) -> tuple[int, int, str] | None:
    """(hour, minute, "am" / "pm" / "") of the clock time in a clause."""
    words, tokens = message.words, message.tokens
    for index in range(clause.first, clause.last):
        token = tokens[index]
        if token.kind == "clock":
            hour, minute = (int(one) for one in token.word.replace("h", ":").split(":"))
            if hour <= 24 and minute < 60:
                return hour % 24, minute, _half(message, clause, index + 1)
    for mark, meaning in clause.all("clock"):
        if meaning in ("noon", "midnight"):
            return (12 if meaning == "noon" else 0), 0, "exact"
        if meaning in ("half", "quarterpast", "quarterto"):
            value = _hour_at(message, mark.last)
            if value is not None and (
                meaning != "half"
                or mark.last - mark.first > 1
                or message.says(mark.first - 1, "clock") == "at"
            ):
                minute = {"half": 30, "quarterpast": 15, "quarterto": 45}[meaning]
                hour = value - 1 if meaning == "quarterto" else value
                return hour % 24, minute, _half(message, clause, mark.last + 1)
    for at in range(clause.first, clause.last - 2):
        if words[at + 1] in ("to", "past") and (minutes := _minutes_at(message, at)):
            value = _hour_at(message, at + 2) or _hour_word(message, at + 2)
            if value is not None:
                hour, minute = (
                    (value, minutes) if words[at + 1] == "past" else (value - 1, 60 - minutes)
                )
                return hour % 24, minute, _half(message, clause, at + 3)
    for amount in clause.amounts:
        if amount.kind != "bare" or amount.part:
            continue
        half = message.says(amount.last, "clock")
        before = message.says(amount.first - 1, "clock") or ""
        hedged = amount.hedge == "approx" and before != "at"
        named = (
            message.at(amount.last, "day") is not None
            or message.at(amount.last, "part") is not None
        )
        if named and amount.value == int(amount.value) and 1 <= amount.value <= 12:
            return int(amount.value) % 24, 0, _half(message, clause, amount.last)
        ready = before == "at" or hedged or _fed_before(clause, amount)
        text = tokens[amount.last - 1].word
        dotted = _dotted(text)
        if (
            half in ("am", "pm") and words[amount.last] in ("am", "pm", "a", "p")
        ) or half == "oclock":
            hour, minute = dotted or (int(amount.value), 0)
            return hour % 24, minute, _half(message, clause, amount.last)
        if not ready or amount.kind != "bare":
            continue
        if dotted is not None and words[amount.first - 1] in (
            "at",
            "@",
            "around",
            "about",
            "since",
        ):
            return dotted[0], dotted[1], _half(message, clause, amount.last)
        if (
            text.isdigit()
            and len(text) == 4
            and text[0] in "012"
            and int(text[:2]) < 24
            and int(text[2:]) < 60
        ):
            return int(text[:2]), int(text[2:]), "exact"
        if amount.value == int(amount.value) and 0 <= amount.value <= 24 and not amount.signed:
            if any(message.at(amount.last, one) for one in ("unit", "flour", "ingredient")):
                continue
            if _fed_before(clause, amount) and amount.last == clause.last:
                return int(amount.value) % 24, 0, _half(message, clause, amount.last)
            if words[amount.first - 1] in (
                "@",
                "at",
                "around",
                "about",
                "since",
                "round",
                "by",
                "before",
                "after",
            ) or (hedged and clause.has("day")):
                return int(amount.value) % 24, 0, _half(message, clause, amount.last)
    return None


def _fed_before(clause: Clause, amount: Amount) -> bool:
    return any(mark.last == amount.first for mark, meaning in clause.all("act") if meaning == "fed")


def _minutes_at(message: Message, at: int) -> int | None:
    """Five, ten, twenty or twenty-five, before "to" or "past"."""
    value = message.says(at, "number") or (
        message.words[at] if message.words[at].isdigit() else None
    )
    return int(value) if value in ("5", "10", "20", "25") else None


def _hour_word(message: Message, at: int) -> int | None:
    value = message.says(at, "number") or (
        message.words[at] if message.words[at].isdigit() else None
    )
    return int(value) if value is not None and len(value) <= 2 and 1 <= int(value) <= 12 else None


def _hour_at(message: Message, index: int) -> int | None:
    for amount in message.amounts:
        if amount.first == index and amount.value == int(amount.value) and 1 <= amount.value <= 12:
            return int(amount.value)
    return None


def _dotted(text: str) -> tuple[int, int] | None:
    whole, dot, rest = text.partition(".")
    if dot and whole.isdigit() and len(rest) == 2 and int(whole) < 24 and int(rest) < 60:
        return int(whole), int(rest)
    return None


def _half(message: Message, clause: Clause, index: int) -> str:
    half = message.says(index, "clock")
    if half in ("am", "pm"):
        return half
    for mark, meaning in clause.all("part"):
        text = message.words[mark.first : mark.last]
        if meaning == "morning":
            return "am"
        if meaning in ("afternoon", "evening"):
            return "pm"
        if meaning == "night" and text:
            return "night"
    return ""


def _place(clause: Clause, at: datetime, hour: int, minute: int, half: str) -> datetime | None:
    day = _day(clause, at)
    if half == "am":
        hours = [hour % 12 if hour <= 12 else hour]
    elif half == "pm":
        hours = [hour % 12 + 12 if hour <= 12 else hour]
    elif half == "night":
        hours = [hour + 12 if 5 <= hour < 12 else hour % 12 if hour == 12 else hour]
    elif half == "exact" or hour == 0 or hour > 12:
        hours = [hour]
    else:
        hours = [hour % 12, hour % 12 + 12] if hour != 12 else [12, 0]
    if day is None:
        found = [
            moment
            for back in (0, 1)
            for one in hours
            if (moment := _wall(at, at.date() - timedelta(days=back), one, minute)) <= at + _LATE
        ]
        return max(found) if found else None
    if half == "night" and 0 <= hours[0] < 5:
        day += timedelta(days=1)
    if len(hours) == 2:
        chosen = hours[0] if hour >= 7 or hour == 12 else hours[1]
        if day == at.date():
            past = [one for one in hours if _wall(at, day, one, minute) <= at + _LATE]
            chosen = max(past) if past else hours[0]
        return _wall(at, day, chosen, minute)
    found_at = _wall(at, day, hours[0], minute)
    return found_at if found_at <= at + timedelta(hours=1) else found_at - timedelta(days=1)


def _wall(at: datetime, day: date, hour: int, minute: int) -> datetime:
    """A wall-clock time in the writer's zone; one that the clocks skipped moves on by the gap."""
    naive = datetime.combine(day, time(hour, minute))
    local = naive.replace(tzinfo=at.tzinfo)
    return local.astimezone(UTC).astimezone(at.tzinfo)


def _day(clause: Clause, at: datetime) -> date | None:
    message = clause.message
    for index in range(clause.first, clause.last):
        token = message.tokens[index]
        if token.kind == "date":
            return _date(token.word, at)
    for amount in clause.amounts:
        if amount.unit == "day" and message.says(amount.last, "ago"):
            return at.date() - timedelta(days=round(amount.value))
        if message.words[amount.first : amount.first + 2] and amount.part is True:
            day = _slashed(message, amount, at)
            if day is not None:
                return day
    for index in range(clause.first, clause.last - 2):
        if message.words[index + 1] == "/" and (day := _slash(message, index, at)):
            return day
    named = clause.all("day")
    for _, meaning in named:
        match meaning:
            case "yesterday":
                return at.date() - timedelta(days=1)
            case "before":
                return at.date() - timedelta(days=2)
            case "today":
                return at.date()
            case _:
                pass
    for _, meaning in clause.all("weekday"):
        back = (at.weekday() - int(meaning)) % 7
        return at.date() - timedelta(days=back)
    return None


def _slashed(message: Message, amount: Amount, at: datetime) -> date | None:
    return _slash(message, amount.first, at)


def _slash(message: Message, index: int, at: datetime) -> date | None:
    words = message.words
    if index + 2 >= len(words) or words[index + 1] != "/":
        return None
    first, second = words[index], words[index + 2]
    if not (first.isdigit() and second.isdigit()):
        return None
    return _nearest(int(first), int(second), at)


def _date(text: str, at: datetime) -> date | None:
    parts = [int(one) for one in text.replace("/", "-").split("-")]
    try:
        if len(text.split("-")[0]) == 4:
            return date(parts[0], parts[1], parts[2])
    except ValueError:
        return None
    return _nearest(parts[0], parts[1], at)


def _nearest(first: int, second: int, at: datetime) -> date | None:
    """Day and month in either order, whichever is the nearer past: 14/7 cannot be a month."""
    found = []
    for day, month in ((first, second), (second, first)):
        for year in (at.year, at.year - 1):
            try:
                one = date(year, month, day)
            except ValueError:
                continue
            if one <= at.date():
                found.append(one)
    near = [one for one in found if (at.date() - one).days <= 60]
    return max(near) if near else None
