"""What the writer wants to know: the subject of each question, by its weightiest words."""

from __future__ import annotations

from typing import cast

from bot.culture.vocabulary import Ask
from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark

_FRAMES = frozenset({"normal", "timing", "other"})
"""Asks that only say how something is asked; a subject beside them says more."""

_RANK: tuple[Ask, ...] = (
    "safety", "discard", "missed", "ready", "alive", "liquid", "smell", "cold", "growth", "water",
    "warmth", "amounts", "flour", "jar", "slow", "bake", "timing", "keep", "next", "normal", "other",
)  # fmt: skip
"""Of two subjects with equal weight, the earlier one is what is asked."""

_LIGHT = frozenset(
    {
        "do", "i", "it", "the", "to", "have", "is", "a", "my", "can", "should", "need", "be", "with",
        "this", "that", "what", "how", "of", "does", "will", "in", "on", "at", "for", "we", "its",
        "has", "did", "an", "am", "there", "would", "u", "you", "long", "when", "why",
    }
)  # fmt: skip
"""Words that carry no subject of their own."""

Asked = tuple[Mark | None, Ask]


def asks(message: Message, clauses: list[Clause]) -> list[Asked]:
    """Every ask of the message once, in the order asked."""
    found: list[Asked] = []
    for at, clause in enumerate(clauses):
        if clause.mood == "told" and not clause.queried:
            continue
        asked = _asked(message, clause)
        open_ask = asked is None or asked[1] in ("normal", "next") or clause.words[0] == "which"
        if (clause.mood != "told" or clause.queried) and open_ask:
            asked = _raised(clauses, at, asked)
        if asked is None and clause.mood != "told" and not _answered_elsewhere(clauses, at):
            asked = _implied(message, clause)
        if asked is not None and all(one[1] != asked[1] for one in found):
            found.append(asked)
    if any(ask == "next" and mark is None for mark, ask in found) and _endangered(message):
        found = [one if one[1] != "next" else (one[0], "keep") for one in found]
    if len(found) > 1:
        found = [one for one in found if one[1] not in ("other", "normal")] or found[:1]
    return found


def _raised(clauses: list[Clause], at: int, asked: Asked | None) -> Asked | None:
    """The subject that the clause before put on the table: "theres liquid, should i mix it in?"."""
    clause = clauses[at]
    before = clauses[at - 1] if at else None
    if before is None or before.sentence != clause.sentence or before.other:
        return asked
    short = len(clause.words) <= 2 or clause.words[0] == "which"
    if short and (topic := _topic(before)) is not None:
        return topic
    if (
        asked is not None
        and asked[1] == "normal"
        and not {"it", "that", "this", "thats"} & set(clause.words)
    ):
        return asked
    for category, ask in (("liquid", "liquid"), ("mould", "growth"), ("film", "growth")):
        mark = before.one(category, "noun") if category == "liquid" else before.one(category)
        if mark is not None:
            return mark, cast("Ask", ask)
    for mark, meaning in before.all("ask"):
        if meaning == "amounts" and asked is not None:
            return mark, "amounts"
    return asked


def _topic(clause: Clause) -> Asked | None:
    best: tuple[int, int, Mark, Ask] | None = None
    for mark, meaning in clause.all("ask"):
        ask = cast("Ask", meaning)
        if ask not in _FRAMES and ask not in ("next", "slow"):
            scored = (mark.last - mark.first, -_RANK.index(ask), mark, ask)
            best = scored if best is None or scored[:2] > best[:2] else best
    return (best[2], best[3]) if best else None


def _endangered(message: Message) -> bool:
    return message.has("mould") or message.has("pest") or message.has("streak")


def _answered_elsewhere(clauses: list[Clause], at: int) -> bool:
    """Whether a fuller question stands beside this one in the same sentence."""
    clause = clauses[at]
    return any(
        one is not clause
        and one.sentence == clause.sentence
        and one.mood == "asked"
        and one.has("ask")
        for one in clauses
    )


def _asked(message: Message, clause: Clause) -> Asked | None:
    best: tuple[float, int, Mark, Ask] | None = None
    for mark, meaning in clause.all("ask"):
        ask = cast("Ask", meaning)
        if ask == "water" and clause.has("where") and not clause.has("act", "add"):
            ask = "liquid"
        if ask == "keep" and clause.has("spot"):
            continue
        words = message.words[mark.first : mark.last]
        weight = sum(1.0 if one not in _LIGHT else 0.2 for one in words)
        if ask == "keep" and "or" in clause.words:
            weight += 1.0
        if ask in _FRAMES:
            weight = min(weight, 1.5) - 1.0
        scored = (weight, -_RANK.index(ask), mark, ask)
        if best is None or scored[:2] > best[:2]:
            best = scored
    weighed = any(one.kind in ("mass", "volume") for one in clause.amounts) or any(
        message.tokens[at].kind == "ratio" for at in range(clause.first, clause.last)
    )
    if weighed and clause.mood != "told" and (best is None or best[0] <= 1.2):
        return None, "amounts"
    if best is None or (clause.mood == "told" and not _worth(clause, best[2], best[3])):
        return None
    return best[2], best[3]


_SIGNS = (
    "bubble",
    "surface",
    "texture",
    "smell",
    "liquid",
    "mould",
    "pest",
    "float",
    "act",
)


def _asks_inside(clause: Clause) -> bool:
    """ "peak is when exactly?"."""
    return bool({"when", "what", "how", "which", "why", "where"} & set(clause.words))


def _worth(clause: Clause, mark: Mark, ask: Ask) -> bool:
    """Whether a told clause that ends in "?" asks: "bin?" does, "thin like water??" only doubts."""
    signs = {
        "growth": ("mould", "colour", "film", "crust"),
        "smell": ("smell",),
        "liquid": ("liquid",),
    }
    if any(clause.has(one) for one in signs.get(ask, ())):
        return True
    risen = any(said not in ("little", "up", "base") for _, said in clause.all("rise"))
    if not (risen or any(clause.has(one) for one in _SIGNS)) or _asks_inside(clause):
        return True
    if ask in ("normal", "next", "ready", "alive", "keep", "safety") or clause.words[-1] == "it":
        return True
    return len(clause.words) <= 3 or clause.words[0] == "too" or clause.words[-2:-1] == ["isnt"]


_IMPLIED: tuple[tuple[str, Ask], ...] = (
    ("mould", "growth"), ("streak", "growth"), ("film", "growth"), ("crust", "growth"),
    ("spot", "growth"), ("colour", "growth"), ("pest", "safety"), ("smell", "smell"),
    ("smellcue", "smell"), ("liquid", "liquid"), ("float", "ready"), ("floattest", "ready"),
    ("flour", "flour"), ("ingredient", "normal"), ("tempcue", "warmth"), ("rise", "slow"),
)  # fmt: skip
"""What a question about a sign is about, when its words name no ask."""


def _implied(message: Message, clause: Clause) -> Asked | None:
    if any(message.tokens[at].kind == "ratio" for at in range(clause.first, clause.last)):
        return None, "amounts"
    if list(clause.words) == ["why"]:
        return None, "slow" if message.has("rise") or message.has("bubble") else "normal"
    if any(one.has("act", "skipped") for one in message.clauses):
        return None, "missed"
    if clause.mood == "presumed" and clause.has("rise"):
        return clause.one("rise"), "slow"
    if clause.words[0] == "how" and (clause.has("bubble") or clause.has("rise")):
        return None, "slow"
    for category, ask in _IMPLIED:
        mark = clause.one(category)
        if mark is not None:
            return mark, ask
    if any(one.kind in ("mass", "volume") for one in clause.amounts):
        return None, "amounts"
    if any(clause.has(one) for one in ("bubble", "surface", "texture", "rise")):
        return None, "normal"
    words = clause.words
    if {"should", "shall", "do", "shld"} & set(words[:4]) and {"i", "we"} & set(words[:5]):
        return None, "next"
    if (words[0] in ("who", "are") and "you" in words[:3]) or words[:2] == ["who", "made"]:
        return None, "other"
    return None
