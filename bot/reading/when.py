"""A day, a span of days or an hour that stands alone: "Monday", "the 14th", "a week", "half past 7"."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, time, timedelta

FURTHEST = timedelta(days=366)
"""Nobody plans a jar's holiday further ahead."""

_CLOCK = re.compile(
    r"(\d{1,2})(?:\s*[:.h]\s*(\d{2}))?(?:\s*ish)?\s*(a\.?m\.?|p\.?m\.?)?"
    r"(?:\s*(?:o'?clock|sharp|h|hrs|uhr))?(?:\s+in the (morning|afternoon|evening))?"
)
_FOUR_DIGITS = re.compile(r"([01]\d|2[0-3])([0-5]\d)(?:\s*(?:h|hrs))?")
_PAST = re.compile(r"(half|quarter|(?:a )?quarter|\d{1,2}) (past|to) (\w+)( ?a\.?m\.?| ?p\.?m\.?)?")
_HALF = re.compile(r"half[\s-](\w+)( ?a\.?m\.?| ?p\.?m\.?)?")
"""British: half six is half past six."""
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_DAY = re.compile(r"(?:the\s+)?(\d{1,2})(?:st|nd|rd|th)?")
_DAY_MONTH = re.compile(
    r"(?:the\s+)?(\d{1,2})(?:st|nd|rd|th)?\.?\s+(?:of\s+)?([a-z]+)\.?(?:,?\s+(\d{4}))?"
)
_MONTH_DAY = re.compile(r"([a-z]+)\.?\s+(?:the\s+)?(\d{1,2})(?:st|nd|rd|th)?(?:,?\s+(\d{4}))?")
_SPAN = re.compile(r"(.+?) (day|week|month|weekend|night)s?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Calendar:
    """The words of one language for days, months and small numbers, in small letters."""

    weekdays: dict[str, int]
    """Monday is 0."""
    months: dict[str, int]
    numbers: dict[str, int]
    tens: dict[str, int]

    def clock(self, text: str) -> time | None:
        """An hour of the day: "7", "7:30", "6am", "half past seven", "noon".

        >>> Calendar(weekdays={}, months={}, numbers={"seven": 7}, tens={}).clock("quarter to seven")
        datetime.time(6, 45)
        """
        said = re.sub(r"^(?:(?:at|about|around|roughly|from)\s+)+", "", " ".join(text.split()))
        if said in ("noon", "midday"):
            return time(12)
        if said == "midnight":
            return time(0)
        if (found := _PAST.fullmatch(said)) is not None:
            return self._past(found)
        if (found := _HALF.fullmatch(said)) is not None:
            return self.clock(f"half past {found[1]}{found[2] or ''}")
        if (found := _FOUR_DIGITS.fullmatch(said)) is not None:
            return time(int(found[1]), int(found[2]))
        words = said.split()
        if words and words[0] in self.numbers:
            said = " ".join((str(self.numbers[words[0]]), *words[1:]))
        if (found := _CLOCK.fullmatch(said)) is None:
            return None
        half = found[3] or {"afternoon": "pm", "evening": "pm", "morning": "am"}.get(found[4] or "")
        return _time(int(found[1]), int(found[2] or 0), half)

    def in_digits(self, text: str) -> str:
        """The text with "twenty-one" as "21"; smaller numbers are left in words."""
        ones = [word for word, number in self.numbers.items() if number < 10 and len(word) > 2]
        if not self.tens:
            return text
        return re.sub(
            rf"\b({'|'.join(self.tens)})(?:[\s-]+({'|'.join(ones)}))?\b",
            lambda found: str(self.tens[found[1]] + self.numbers.get(found[2] or "", 0)),
            text,
        )

    def _past(self, found: re.Match[str]) -> time | None:
        minutes = {"half": 30, "quarter": 15, "a quarter": 15}.get(found[1])
        if minutes is None:
            minutes = int(found[1])
        hour = self._number(found[3])
        if hour is None or minutes > 59:
            return None
        exact = _time(hour, 0, (found[4] or "").strip() or None)
        if exact is None:
            return None
        total = exact.hour * 60 + (minutes if found[2] == "past" else -minutes)
        return time(total // 60 % 24, total % 60)

    def day(self, text: str, today: date) -> date | None:
        """The next such day after today: "Monday", "tomorrow", "14 March", "the 14th", "next week"."""
        said = " ".join(text.replace(",", " ").split())
        said = re.sub(r"^(?:on|the morning of|at|about|around)\s+", "", said)
        said = re.sub(r"\s+(?:morning|night|evening|then)$", "", said)
        match said:
            case "tomorrow" | "tmrw" | "tomorow" | "tommorow" | "tommorrow":
                return today + timedelta(days=1)
            case "the day after tomorrow" | "day after tomorrow":
                return today + timedelta(days=2)
            case "next week" | "the next week":
                return _next_weekday(today, 0)
            case "the weekend" | "next weekend" | "weekend" | "this weekend":
                return _next_weekday(today, 5)
            case "next month":
                return (today.replace(day=1) + timedelta(days=32)).replace(day=1)
            case _:
                pass
        weekday = self.weekdays.get(re.sub(r"^(?:next|this|coming|the coming)\s+", "", said))
        if weekday is not None:
            return _next_weekday(today, weekday)
        found = self._dated(said, today)
        return found if found is not None and today < found <= today + FURTHEST else None

    def _dated(self, said: str, today: date) -> date | None:
        if (found := _ISO.fullmatch(said)) is not None:
            return _date(int(found[1]), int(found[2]), int(found[3]))
        if (found := _DAY.fullmatch(said)) is not None:
            return _next_of_month(today, int(found[1]))
        if (found := _DAY_MONTH.fullmatch(said)) is not None:
            return self._of_year(found[2], int(found[1]), found[3], today)
        if (found := _MONTH_DAY.fullmatch(said)) is not None:
            return self._of_year(found[1], int(found[2]), found[3], today)
        return None

    def _of_year(self, month_word: str, day: int, year: str | None, today: date) -> date | None:
        month = self.months.get(month_word)
        if month is None:
            return None
        if year is not None:
            return _date(int(year), month, day)
        soon = _date(today.year, month, day)
        return soon if soon is not None and soon > today else _date(today.year + 1, month, day)

    def days(self, text: str, today: date) -> int | None:
        """How many days a span has: "a week", "3 days", "two weeks", "the weekend", "this week".

        Weeks end on Sunday.
        """
        said = " ".join(text.split())
        to_sunday = 7 - today.weekday()
        match said:
            case "today" | "tonight" | "the day" | "the night":
                return 1
            case "this week" | "the week" | "the rest of the week" | "rest of the week":
                return to_sunday
            case "the weekend" | "this weekend" | "weekend":
                return to_sunday
            case "next week":
                return to_sunday + 7
            case "the month" | "this month" | "the rest of the month":
                return ((today.replace(day=1) + timedelta(days=32)).replace(day=1) - today).days
            case "a fortnight" | "fortnight" | "the fortnight":
                return 14
            case _:
                pass
        found = _SPAN.fullmatch(said)
        if found is None:
            return None
        number = self._number(re.sub(r"^(?:the )?(?:next|coming)\s+", "", found[1]))
        if number is None:
            return None
        each = {"day": 1, "night": 1, "week": 7, "weekend": 7, "month": 30}[found[2]]
        days = number * each
        return days if 1 <= days <= FURTHEST.days else None

    def _number(self, word: str) -> int | None:
        if word.isascii() and word.isdigit() and len(word) <= 3:
            return int(word)
        return self.numbers.get(word)


def _time(hour: int, minute: int, half: str | None) -> time | None:
    if half is not None:
        if not 1 <= hour <= 12:
            return (
                time(hour, minute)
                if half.startswith("p") and 12 < hour < 24 and minute < 60
                else None
            )
        hour = hour % 12 + (12 if half.startswith("p") else 0)
    if hour == 24 and minute == 0:
        hour = 0
    return time(hour, minute) if hour < 24 and minute < 60 else None


def _next_weekday(today: date, weekday: int) -> date:
    return today + timedelta(days=(weekday - today.weekday() - 1) % 7 + 1)


def _next_of_month(today: date, day: int) -> date | None:
    for months_on in range(3):
        month = today.month - 1 + months_on
        found = _date(today.year + month // 12, month % 12 + 1, day)
        if found is not None and found > today:
            return found
    return None


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None
