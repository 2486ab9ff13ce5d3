"""Clock times as people say them: "7:30p", "half eleven", "ten to nine", "20h", "six thirty"."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from bot.reading.clauses import Message

Half: TypeAlias = Literal["", "am", "pm", "night", "exact"]
"""Which half of the day: "" is not told, ``night`` is before or after midnight, ``exact`` is told by
the hour itself ("noon", "0645")."""


@dataclass(frozen=True, slots=True)
class Clock:
    """A wall-clock time over tokens ``first..last`` (end excluded).

    ``sure`` is false of a bare number ("8"), which is a time only where the words around it say so.
    """

    first: int
    last: int
    hour: int
    minute: int
    half: Half
    sure: bool


_HALVES = frozenset({"am", "pm"})
_NO_SPAN = frozenset({"in", "after", "within", "for", "every", "took", "takes", "over"})
_MINUTES = frozenset({5, 10, 20, 25})
"""Minutes that are told before or after the hour without the word "minutes"."""
_WEIGHED = ("unit", "flour", "ingredient", "each", "join")


def clock_at(message: Message, at: int, end: int) -> Clock | None:
    """The clock time that begins at a token, with "am" or "pm" if it stands right behind."""
    found = _quartered(message, at, end) or _counted(message, at, end) or _plain(message, at, end)
    if found is None or found.last > end:
        return None
    if found.half:
        return found
    return _halved(message, found)


def _halved(message: Message, found: Clock) -> Clock:
    at = found.last
    mark = message.at(at, "clock")
    if mark is not None:
        match mark.says("clock"):
            case "am":
                return replace(found, last=mark.last, half="am", sure=True)
            case "pm":
                return replace(found, last=mark.last, half="pm", sure=True)
            case "oclock":
                return _halved(message, replace(found, last=mark.last, sure=True))
            case _:
                pass
    if at < len(message.words) and message.words[at] in ("a", "p"):
        token = message.tokens[at]
        if not token.spaced or message.tokens[at - 1].kind == "clock":
            return replace(found, last=at + 1, half="am" if token.word == "a" else "pm", sure=True)
    return found


def _quartered(message: Message, at: int, end: int) -> Clock | None:
    """ "Half past eight", "half eleven", "quarter to nine"."""
    mark = message.at(at, "clock")
    meaning = mark.says("clock") if mark is not None else None
    if mark is None or meaning is None:
        return None
    if meaning in ("noon", "midnight"):
        return Clock(at, mark.last, 12 if meaning == "noon" else 0, 0, "exact", True)
    if meaning not in ("half", "quarterpast", "quarterto"):
        return None
    got = _hour(message, mark.last, end)
    if got is None or not 1 <= got[0] <= 12:
        return None
    hour, last = got
    if meaning == "half" and mark.last - mark.first == 1:
        counted = message.words[at - 1] in ("a", "and") if at else False
        if counted or _is_measured(message, last):
            return None
    minute = {"half": 30, "quarterpast": 15, "quarterto": 45}[meaning]
    return Clock(at, last, _hour_before(hour) if meaning == "quarterto" else hour, minute, "", True)


def _hour_before(hour: int) -> int:
    return 12 if hour == 1 else hour - 1


def _counted(message: Message, at: int, end: int) -> Clock | None:
    """ "Ten past six", "twenty five to nine", "ten minutes before midnight"."""
    got = _whole(message, at)
    if got is None or not 1 <= got[0] <= 59:
        return None
    minutes, after = got
    spelt = message.says(after, "unit") == "minute"
    if spelt:
        mark = message.at(after, "unit")
        assert mark is not None
        after = mark.last
    elif minutes not in _MINUTES:
        return None
    if after >= end:
        return None
    way = message.words[after]
    if way not in ("to", "past") and not (spelt and way in ("before", "after", "til", "till")):
        return None
    half: Half
    whole = _quartered(message, after + 1, end)
    if whole is not None and whole.half == "exact":
        hour, last, half = whole.hour, whole.last, whole.half
    else:
        told = _hour(message, after + 1, end)
        if told is None or not 1 <= told[0] <= 12 or _is_measured(message, told[1]):
            return None
        figures = way == "to" and not spelt and _digits(message, at) and _digits(message, after + 1)
        if figures and message.at(at - 1, "clock") is None:
            # "5 to 8" is a range, "at 5 to 8" a time.
            return None
        hour, last, half = told[0], told[1], ""
    if way in ("past", "after"):
        return Clock(at, last, hour % 24, minutes, half, True)
    if half == "exact":
        return Clock(at, last, (hour - 1) % 24, 60 - minutes, half, True)
    return Clock(at, last, _hour_before(hour), 60 - minutes, half, True)


def _plain(message: Message, at: int, end: int) -> Clock | None:
    token = message.tokens[at]
    if token.kind == "clock":
        hour, minute = (int(one) for one in token.word.replace("h", ":").split(":"))
        if hour > 24 or minute >= 60:
            return None
        # Who writes "08:15" writes "20:15" too.
        half: Half = "exact" if token.word[0] == "0" and len(token.word) > 4 else ""
        return Clock(at, at + 1, hour % 24, minute, half, True)
    glued = at > 0 and message.tokens[at - 1].kind == "sign" and not token.spaced
    if glued and message.words[at - 1] not in ("@", "~", "(", "-"):
        return None
    if token.kind == "number":
        dotted = _dotted(token.word)
        if dotted is not None:
            if _is_measured(message, at + 1):
                return None
            return Clock(at, at + 1, dotted[0], dotted[1], "", False)
        if (packed := _packed(message, at)) is not None:
            return packed
    got = _hour(message, at, end)
    if got is None:
        return None
    hour, after = got
    if token.kind == "number" and message.words[after : after + 1] == ["h"]:
        return _in_hours(message, at, hour)
    if hour <= 12 and (more := _minute(message, at, after, end)) is not None:
        return Clock(at, more[1], hour, more[0], "", _fit(message, more[1]))
    if message.says(after, "clock") not in ("am", "pm", "oclock") and _is_measured(message, after):
        return None
    if message.words[after : after + 1] == ["past"]:
        return None
    return Clock(at, after, hour, 0, "", False)


def _in_hours(message: Message, at: int, hour: int) -> Clock | None:
    """ "20h" is a time of day after noon or behind "at"; "in 20h" and "20h ago" are spans."""
    before = message.words[at - 1] if at else ""
    behind = message.words[at + 2] if at + 2 < len(message.words) else ""
    if message.tokens[at + 1].spaced or behind in ("ago", "later", "in", "after", "since", "old"):
        return None
    if before in _NO_SPAN:
        return None
    dated = message.at(at - 1, "day") is not None or before in ("yesterday", "today")
    if not dated and before not in ("at", "@"):
        return None
    # "Doubled at 5h" is five hours on, "fed at 18h" is evening.
    return Clock(at, at + 2, hour, 0, "exact" if hour > 12 else "", dated or hour > 12)


def _minute(message: Message, at: int, after: int, end: int) -> tuple[int, int] | None:
    """The minutes of "six thirty", "seven oh five", "7 30": both words or both figures."""
    if after >= end:
        return None
    worded = message.tokens[at].kind == "word"
    if message.words[after] in ("oh", "o") and after + 1 < end:
        ones = _whole(message, after + 1)
        return (ones[0], ones[1]) if ones is not None and 1 <= ones[0] <= 9 else None
    got = _whole(message, after)
    if got is None or not 10 <= got[0] <= 59 or worded == _digits(message, after):
        return None
    if not worded and message.says(at - 1, "clock") != "at":
        return None
    return None if got[1] > end or not _fit(message, got[1]) else got


def _fit(message: Message, after: int) -> bool:
    return message.says(after, "clock") in ("am", "pm") or not _is_measured(message, after)


def _packed(message: Message, at: int) -> Clock | None:
    """ "0645", "1930", "at 730": hour and minute in one number."""
    text = message.words[at]
    if not text.isdigit() or len(text) not in (3, 4):
        return None
    hour, minute = int(text[:-2]), int(text[-2:])
    if hour >= 24 or minute >= 60 or _is_measured(message, at + 1):
        return None
    if len(text) == 4 and text[0] in "012":
        return Clock(at, at + 1, hour, minute, "exact", False)
    halved = message.says(at + 1, "clock") in _HALVES
    if (
        len(text) == 3
        and minute % 5 == 0
        and hour >= 1
        and (halved or message.words[at - 1 : at] == ["at"])
    ):
        return Clock(at, at + 1, hour, minute, "", halved)
    return None


def _is_measured(message: Message, at: int) -> bool:
    """Whether what stands behind a number makes it an amount, not an hour."""
    if any(message.at(at, one) is not None for one in ("unit", "flour", "ingredient", "each")):
        return True
    word = message.words[at] if at < len(message.words) else ""
    if word in ("%", "°", "x", "/", "of", "parts", "+"):
        return True
    return word in (":", "-") and not message.tokens[at].spaced


def _hour(message: Message, at: int, end: int) -> tuple[int, int] | None:
    """A whole number of at most two figures, 0..24, and the token behind it."""
    if at >= end:
        return None
    got = _whole(message, at)
    if got is None or not 0 <= got[0] <= 24:
        return None
    if message.tokens[at].kind == "word" and not 1 <= got[0] <= 12:
        return None
    return got


def _whole(message: Message, at: int) -> tuple[int, int] | None:
    """A whole number below sixty in figures or letters, and the token behind it."""
    if not 0 <= at < len(message.words):
        return None
    if _digits(message, at):
        return (int(message.words[at]), at + 1) if len(message.words[at]) <= 2 else None
    tens = message.says(at, "number")
    if tens is None or float(tens) >= 100:
        return None
    value = int(tens)
    ones = message.says(at + 1, "number")
    if value >= 20 and ones is not None and 1 <= int(ones) <= 9:
        return value + int(ones), at + 2
    return value, at + 1


def _digits(message: Message, at: int) -> bool:
    return 0 <= at < len(message.words) and message.words[at].isdigit()


def _dotted(text: str) -> tuple[int, int] | None:
    whole, dot, rest = text.partition(".")
    if dot and whole.isdigit() and len(rest) == 2 and int(whole) < 24 and int(rest) < 60:
        return int(whole), int(rest)
    return None
