"""Numbers in digits, words and fractions, with their hedges, ranges and units."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bot.reading.amounts import Amount, Hedge, kind_of
from bot.reading.marks import Mark
from bot.reading.text import Token

_FRACTION = {"half": 1 / 2, "third": 1 / 3, "quarter": 1 / 4, "fifth": 1 / 5, "eighth": 1 / 8}


def amounts(
    tokens: Sequence[Token],
    words: Sequence[str],
    starts: Mapping[str, Sequence[Mark | None]],
) -> list[Amount]:
    """Every amount, left to right. ``starts`` holds, per group, the phrase that begins at a token."""
    return _Scan(tokens, words, starts).run()


class _Scan:
    __slots__ = ("end", "groups", "starts", "tokens", "words")

    def __init__(
        self,
        tokens: Sequence[Token],
        words: Sequence[str],
        starts: Mapping[str, Sequence[Mark | None]],
    ) -> None:
        self.tokens, self.words, self.groups = tokens, words, starts
        self.starts = starts["number"]
        self.end = len(tokens)

    def run(self) -> list[Amount]:
        found: list[Amount] = []
        at = 0
        while at < self.end:
            worded = self.starts[at] is not None or self.words[at] in ("a", "an")
            if not worded and self.tokens[at].kind != "number":
                at += 1
                continue
            amount = self._amount(at)
            if amount is None:
                at += 1
            else:
                found.append(amount)
                at = amount.last
        return found

    def _word(self, at: int) -> str:
        return self.words[at] if at < self.end else ""

    def _sense(self, at: int, category: str) -> str | None:
        mark = self.starts[at] if at < self.end else None
        return mark.says(category) if mark else None

    def _amount(self, at: int) -> Amount | None:
        got = self._number(at)
        if got is None:
            return None
        value, after, worded, part = got
        if part and self._word(after) == "of" and self._word(after + 1) in ("a", "an"):
            # "A third of a cup".
            after += 2 if self._unit(after + 2)[0] else 0
        unit, unit_end = self._unit(after)
        if not unit and (self._word(after - 1) == "s" or self._word(after - 1) in _DECADES):
            unit = "degree"
        low = high = value
        other = self._range_end(unit_end, self._word(at - 1) if at else "")
        if other is not None:
            top, top_after = other
            top_unit, top_end = self._unit(top_after)
            if (
                top > value
                and (not unit or not top_unit or unit == top_unit)
                and top <= 10 * value + 10
            ):
                low, high = value, top
                value = (value + top) / 2
                unit = top_unit or unit
                unit_end = top_end
        if unit == "hour" and (more := self._number(unit_end)):
            minutes, next_after, _, _ = more
            inner, inner_end = self._unit(next_after)
            if inner == "minute" and minutes < 60:
                value, unit_end = value + minutes / 60, inner_end
                low = high = value
        # "5 and a half hours" ends on the fraction; "an hour and a half" has it behind the unit.
        if unit in _HALVED and self._word(unit_end) == "and":
            tail = self._tail(unit_end + 1)
            if tail is not None:
                value, unit_end = value + tail[0], tail[1]
                low = high = value
        hedge, first, signed = self._before(at)
        hedge, unit_end = self._behind(unit_end, hedge)
        if not unit:
            unit, unit_end = self._unit(unit_end)
        return Amount(
            first, unit_end, value, low, high, unit, hedge, worded, part, signed,
            self.tokens[at].spaced,
        )  # fmt: skip

    def _number(self, at: int) -> tuple[float, int, bool, bool] | None:
        """(value, next token, in letters, a fraction) of the number that begins here."""
        if at >= self.end:
            return None
        token = self.tokens[at]
        if token.kind == "number":
            value = _digits(token.word)
            after = at + 1
            if self._word(after) == "/" and self._digits_at(after + 1):
                below = _digits(self.words[after + 1])
                if value < below <= 16:
                    return value / below, after + 2, False, True
            nested = self._digits_at(after) and self._word(after + 1) == "/"
            if nested and self._digits_at(after + 2):
                top, below = _digits(self.words[after]), _digits(self.words[after + 2])
                if 0 < top < below <= 16:
                    return value + top / below, after + 3, False, False
            if self._word(after) == "and":
                tail = self._tail(after + 1)
                if tail is not None:
                    return value + tail[0], tail[1], False, False
            before = self._word(at - 1) if at else ""
            if (
                (value >= 50 or (value >= 10 and before in _DECADE))
                and value % 10 == 0
                and self._word(after) == "s"
                and not self.tokens[after].spaced
            ):
                # "in the low 70s": a decade of degrees, never of grams.
                return value + _DECADE.get(before, 5.0), after + 1, False, False
            share = self._sense(after, "fraction")
            if share and self._word(after) not in ("half",) and value < 10:
                return value * _FRACTION[share], after + 1, False, True
            return value, after, False, False
        if token.kind != "word":
            return None
        return self._lettered(at)

    def _digits_at(self, at: int) -> bool:
        return at < self.end and self.tokens[at].kind == "number"

    def _lettered(self, at: int) -> tuple[float, int, bool, bool] | None:
        mark = self.starts[at]
        word = self.words[at]
        if word in ("a", "an") and (mark is None or mark.last == at + 1):
            if self._unit(at + 1)[0] and self._word(at + 1) not in _LONELY:
                return 1.0, at + 1, True, False
            return None
        if mark is None:
            return None
        ones = mark.says("number")
        if ones is not None:
            value = float(ones)
            after = mark.last
            if word in _DECADES:
                before = self._word(at - 1) if at else ""
                return (value + _DECADE[before], after, True, False) if before in _DECADE else None
            if 20 <= value <= 90 and (unit := self._sense(after, "number")) and float(unit) < 10:
                value, after = value + float(unit), after + 1
            if self._sense(after, "number") == "100" and self.words[after] == "hundred":
                value, after = value * 100, after + 1
            if value >= 100:
                skip = after + 1 if self._word(after) == "and" else after
                tens = self._sense(skip, "number")
                if tens and float(tens) < 100 and self.starts[skip] is not None:
                    value, after = value + float(tens), skip + 1
            if self._word(after) == "and":
                tail = self._tail(after + 1)
                if tail is not None:
                    return value + tail[0], tail[1], True, False
            share = self._sense(after, "fraction")
            if share and share != "half" and value < 10:
                return value * _FRACTION[share], after + 1, True, True
            return value, after, True, False
        share = mark.says("fraction")
        if share is not None:
            after = mark.last
            if self._word(after) in ("a", "an") and self._unit(after + 1)[0]:
                after += 1
            return _FRACTION[share], after, True, True
        count = mark.says("count")
        if count is not None:
            return (2.0 if count == "couple" else 3.0), mark.last, True, False
        return None

    def _tail(self, at: int) -> tuple[float, int] | None:
        """The fraction of "and a half", "and three quarters"."""
        if self._word(at) == "a" and not self._sense(at, "fraction"):
            at += 1
        share = self._sense(at, "fraction")
        if share:
            mark = self.starts[at]
            assert mark is not None
            return _FRACTION[share], mark.last
        if self._sense(at, "number") and (share := self._sense(at + 1, "fraction")):
            count = float(self._sense(at, "number") or 1)
            if count * _FRACTION[share] < 1:
                return count * _FRACTION[share], at + 2
        return None

    def _unit(self, at: int) -> tuple[str, int]:
        if at >= self.end:
            return "", at
        word = self.words[at]
        mark = self.starts[at]
        if mark is not None and (unit := mark.says("unit")):
            if unit == "times" and mark.last < self.end and self._digits_at(mark.last):
                return "", at
            after = mark.last
            if unit == "degree":
                nested, nested_after = self._unit(after)
                if nested in ("celsius", "fahrenheit"):
                    return nested, nested_after
            stuff = self.groups["sign"][after] if after < self.end else None
            cups = word == "c" and not (
                self._digits_at(at - 1) and _digits(self.words[at - 1]) >= _TOO_MANY_CUPS
            )
            if cups and stuff and (stuff.says("flour") or stuff.says("ingredient")):
                unit = "cup"
            if cups and (self._word(after) in ("flour", "water", "of")):
                unit = "cup"
            return unit, after
        if word == '"' or (word == "in" and (not self.tokens[at].spaced or self._in_inches(at))):
            return "inch", at + 1
        if word == "-" and at + 1 < self.end and not self.tokens[at + 1].spaced:
            nested, after = self._unit(at + 1)
            return (nested, after) if nested else ("", at)
        if word in _MEASURED:
            nested, after = self._unit(at + 1)
            if word in _HEAPED and nested in ("cup", "tbsp", "tsp"):
                return f"heaped {nested}", after
            if nested and kind_of(nested) in ("volume", "time"):
                return nested, after
        return "", at

    def _in_inches(self, at: int) -> bool:
        """ "3 in at feeding, 4.5 in now": of a small figure, and of nothing that has an "in"."""
        if not self._digits_at(at - 1) or _digits(self.words[at - 1]) > _TALLEST_IN:
            return False
        behind = self.words[at + 1 : at + 3]
        before = self.words[at - 2] if at > 1 else ""
        if before in ("from", "to", "was", "now") and behind[:1] in ([], [","], ["to"]):
            return True
        return behind[:1] in (["now"], ["tall"], ["high"], ["deep"]) or (
            behind[:1] == ["at"] and behind[1:] in (["feeding"], ["feed"], ["start"])
        )

    def _range_end(self, at: int, before: str) -> tuple[float, int] | None:
        word = self._word(at)
        joins = word in ("-", "to", "or", "till") or (word == "and" and before == "between")
        if not joins or before == "from":
            return None
        if (
            word == "-"
            and at + 1 < self.end
            and self.tokens[at].spaced != self.tokens[at + 1].spaced
        ):
            return None
        ahead = at + 1
        if self._sense(ahead, "hedgenum") or self._word(ahead) in ("even", "maybe"):
            ahead += 1
        got = self._number(ahead)
        return (got[0], got[1]) if got else None

    def _before(self, at: int) -> tuple[Hedge, int, bool]:
        first = at
        hedge: Hedge = ""
        signed = False
        for _ in range(3):
            word = self._word(first - 1) if first else ""
            if word in ("~", "≈"):
                hedge, first = hedge or "approx", first - 1
            elif word == ">":
                hedge, first = "over", first - 1
            elif word == "<":
                hedge, first = "below", first - 1
            elif word == "+" or (
                word == "-" and not self.tokens[first].spaced and self.tokens[first - 1].spaced
            ):
                signed, first = True, first - 1
            else:
                break
        for back in (1, 2, 3, 4):
            start = first - back
            mark = self.starts[start] if start >= 0 else None
            if mark is not None and mark.last == first and (kind := mark.says("hedgenum")):
                if kind == "only":
                    return self._before(start) if start and back == 1 else (hedge, start, signed)
                return kind, start, signed  # type: ignore[return-value]
        return hedge, first, signed

    def _behind(self, at: int, hedge: Hedge) -> tuple[Hedge, int]:
        word = self._word(at)
        if word == "-" and self._word(at + 1) == "ish":
            at, word = at + 1, "ish"
        if word == "ish":
            return hedge or "approx", at + 1
        if word == "+" and not self.tokens[at].spaced:
            return "over", at + 1
        if word in ("or", "if", "maybe") and self._word(at + 1) in ("more", "so", "less"):
            kind = self._word(at + 1)
            return ({"more": "over", "so": "approx", "less": "below"}[kind], at + 2)  # type: ignore[return-value]
        return hedge, at


_MEASURED = frozenset({"heaped", "heaping", "level", "big", "small", "full", "whole", "large", "rounded", "generous", "huge", "scant", "solid", "metric", "us"})  # fmt: skip
"""Words between a number and its unit: "a heaped spoon", "a full hour"."""

_DECADE = {"low": 2.0, "lower": 2.0, "mid": 5.0, "middle": 5.0, "upper": 8.0, "high": 8.0, "higher": 8.0}  # fmt: skip
_DECADES = frozenset({"teens", "twenties", "thirties", "fifties", "sixties", "seventies", "eighties", "nineties"})  # fmt: skip
_HALVED = frozenset({"hour", "day", "week", "month", "cup", "tbsp", "tsp", "heaped tbsp", "times", "inch", "cm"})  # fmt: skip
"""Units behind which "and a half" may stand."""
_HEAPED = frozenset({"heaped", "heaping", "rounded", "generous", "big", "huge"})

_TOO_MANY_CUPS = 15
"""Nobody feeds a jar so many: "40C water" is of its warmth."""

_TALLEST_IN = 12
"""Inches of a tall jar."""

_LONELY = frozenset(
    {"c", "f", "g", "l", "m", "d", "x", "h", "times", "time", "degree", "percent", "part", "mins"}
)


def _digits(text: str) -> float:
    if "," in text:
        whole, _, rest = text.partition(",")
        text = text.replace(",", "") if len(rest) == 3 or "," in rest else f"{whole}.{rest}"
    return float(text)
