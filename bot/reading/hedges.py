"""What "almost", "at least" and "about" do to a ratio: a hedge widens it, and moves it a little."""

from __future__ import annotations

from bot.culture.vocabulary import Rise
from bot.reading.clauses import Message


def hedged(ratio: float, hedge: str) -> Rise:
    grown = ratio - 1
    match hedge:
        case "under":
            return Rise(ratio=1 + grown * 0.88, low=1 + grown * 0.7, high=ratio)
        case "justover":
            return Rise(ratio=ratio + grown * 0.1, low=ratio, high=ratio + grown * 0.3)
        case "over":
            return Rise(ratio=ratio + grown * 0.25, low=ratio, high=1 + grown * 2)
        case "below":
            return Rise(ratio=1 + grown * 0.75, low=1.0, high=ratio)
        case "approx":
            return Rise(ratio=ratio, low=1 + grown * 0.85, high=1 + grown * 1.15)
        case _:
            return Rise(ratio=ratio, low=ratio, high=ratio)


def hedge_before(message: Message, at: int) -> str:
    for back in range(1, 6):
        start = at - back
        if start < 0 or message.words[start] in (",", "."):
            break
        mark = message.at(start, "hedgenum")
        if mark is not None and message.words[mark.first : mark.last] == ["up", "to"]:
            # "Its up to twice where it began" climbs there; it does not stay below.
            return ""
        if mark is None or mark.last > at or mark.means("hedgenum", "only"):
            continue
        if all(one in _LINKS for one in message.words[mark.last : at]):
            return mark.says("hedgenum") or ""
    return ""


_LINKS = frozenset({"has", "have", "is", "the", "a", "its", "it", "be", "in", "been", "s", "my"})
