"""What the writer wants to know: which clauses ask, and the weightiest subject of each."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from bot.culture.vocabulary import Ask
from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark
from bot.reading.questions import only_tells, onset, worth
from bot.reading.subjects import RANK, Subject, raised, subject, touched, worry

Asked = tuple[Mark | None, Ask]
Span = tuple[int, int]

_ROUTINE = frozenset({"timing", "amounts"})
_ABSENCES = frozenset({"missed", "cold"})
"""What changes the routine that is asked about: "missed a feed, do i feed twice"."""
_LOOKS_BACK = 8
"""Words: a question so short may be about the sentence before ("is that ok")."""
_REPORTED = ("rise", "bubble", "smell", "surface", "texture", "float")
_OPEN_WORDS = frozenset({"what", "whats", "which", "when", "where", "who", "how", "whose"})
_JARS = frozenset({"it", "its", "this", "that", "thats", "mine", "starter", "he", "she", "i"})
"""Words that a question about one's own jar or doings mostly has."""
_BARE = 3
_WARDED = frozenset({"avoid", "prevent", "avoiding", "preventing"})
_REASONS = frozenset({"why", "y", "whys", "how", "what", "any", "whats"})
_SUPPOSING = frozenset({"if", "when", "say", "suppose", "imagine", "once", "lets"})


def asks(message: Message, clauses: list[Clause]) -> list[Asked]:
    """Every ask of the message once, in the order asked."""
    found: list[Asked] = []
    for at in range(len(clauses)):
        for asked in _asked(message, clauses, at):
            if all(one[1] != asked[1] for one in found):
                found.append(asked)
    found += _worries(message, clauses, found)
    if any(ask == "next" and mark is None for mark, ask in found) and _endangered(message):
        found = [one if one[1] != "next" else (one[0], "keep") for one in found]
    if len(found) > 1:
        found = [one for one in found if one[1] not in ("other", "normal")] or found[:1]
    return found


def _asked(message: Message, clauses: list[Clause], at: int) -> list[Asked]:
    """What one clause asks; nothing if it only tells."""
    clause = clauses[at]
    start = onset(clause)
    queried = clause.mood != "told" or clause.queried
    if start is None and (not queried or (not clause.queried and only_tells(clause))):
        return []
    begins = clause.first + (start or 0) if clause.mood == "told" else clause.first
    span = (_hung_on(message, clauses, at, begins), clause.last)
    best = _best(message, clause, span, formed=start is not None)
    if best is None or best.is_open or best.ask == "bake":
        told = raised(message, _before(clauses, at, begins))
        if told is not None and told.ask == "warmth" and _of_the_jar(message, clauses, at, begins):
            told = None
        if told is not None and (best is None or best.is_open or told.ask == "safety"):
            asked: list[Asked] = [(told.mark, told.ask)]
            return [*asked, (best.mark, "next")] if best and best.ask == "next" else asked
    if best is not None and best.ask in _ROUTINE:
        absent = raised(message, _before(clauses, at, begins), kinds=_ABSENCES)
        if absent is not None:
            return [(absent.mark, absent.ask), (best.mark, best.ask)]
    one: Asked | None = (best.mark, best.ask) if best else None
    if (best is None or best.is_open) and not any(clause.has(sign) for sign in _REPORTED):
        kind = touched(message, begins, clause.last)
        one = (best.mark if best else None, kind) if kind else one
    asking = clause.mood != "told" or start is not None
    if (asking or not clause.has("act")) and _weighed(message, clause) and _is_light(best):
        one = (None, "amounts")
    if queried and (one is None or one[1] in ("normal", "next") or clause.words[0] == "which"):
        one = _raised(clauses, at, one)
    if one is None and asking and not _answered_elsewhere(clauses, at):
        one = _implied(message, clause) or _unknown(message, clause)
    return [one] if one else []


def _unknown(message: Message, clause: Clause) -> Asked | None:
    """A plain question of which no subject is known: after a report it asks of that report."""
    if clause.mood == "told" or len(clause.words) < _BARE or clause.other or only_tells(clause):
        return None
    yes_or_no = clause.words[0] not in _OPEN_WORDS and bool(_JARS & set(clause.words))
    return None, "normal" if yes_or_no or _reported(message) else "other"


def _is_light(best: Subject | None) -> bool:
    """Whether masses or a ratio in the question say more than its subject does."""
    return best is None or best.weight <= 1.2 or best.ask in ("flour", "water")


def _best(message: Message, clause: Clause, span: Span, *, formed: bool) -> Subject | None:
    best = subject(message, *span, clause)
    if best is None or formed or clause.mood != "told":
        return best
    return best if worth(clause, best.weight, best.ask) else None


def _hung_on(message: Message, clauses: list[Clause], at: int, begins: int) -> int:
    """Where what is asked begins: with the "if" it hangs on, or with all that a bare "why" asks of."""
    before = clauses[at - 1] if at else None
    if before is not None and _wards_off(message, clauses[at], begins):
        return before.first
    if before is None or before.sentence != clauses[at].sentence:
        return begins
    bare = message.words[begins : clauses[at].last]
    reason = len(bare) <= _BARE and bare[0] in _REASONS
    return before.first if reason or before.words[0] in _SUPPOSING else begins


def _of_the_jar(message: Message, clauses: list[Clause], at: int, begins: int) -> bool:
    """ "Doubled, 23C, smells of apple. good?": a bare question after a report asks of the jar, unless
    the warmth was told last, or by more than its figure."""
    if clauses[at].last - begins > 2 or not _reported(message):
        return False
    sentence = clauses[at].sentence
    before = [one for one in clauses[:at] if sentence - one.sentence <= 1]
    last = before[-1] if before else None
    return last is not None and (
        any(last.has(sign) for sign in _REPORTED)
        or (not last.has("place") and not last.has("tempcue"))
    )


def _wards_off(message: Message, clause: Clause, begins: int) -> bool:
    """ "How do i avoid that": what was told just before, whoever it befell."""
    words = message.words[begins : clause.last]
    return bool(_WARDED & set(words)) and words[-1] in ("that", "this", "it")


def _before(clauses: list[Clause], at: int, begins: int) -> Iterator[Span]:
    """What stands before a question, the nearest first: its sentence, and the one before a short one."""
    clause = clauses[at]
    if begins > clause.first:
        yield clause.first, begins
    short = clause.last - begins <= _LOOKS_BACK
    for before in reversed(clauses[:at]):
        apart = clause.sentence - before.sentence
        if apart > 1 or (apart and not short):
            return
        yield before.first, before.last


def _worries(message: Message, clauses: list[Clause], found: list[Asked]) -> list[Asked]:
    if any(ask == "safety" for _, ask in found):
        return []
    sentences: dict[int, Span] = {}
    for one in clauses:
        first, _ = sentences.get(one.sentence, (one.first, one.last))
        sentences[one.sentence] = (first, one.last)
    for first, last in sentences.values():
        if (mark := worry(message, first, last)) is not None:
            return [(mark, "safety")]
    return []


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
        if ask not in ("normal", "timing", "other", "next", "slow"):
            scored = (mark.last - mark.first, -RANK.index(ask), mark, ask)
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


def _reported(message: Message) -> bool:
    return any(
        message.has(one) for one in ("rise", "bubble", "smell", "surface", "texture", "float")
    )


def _weighed(message: Message, clause: Clause) -> bool:
    return any(one.kind in ("mass", "volume") for one in clause.amounts) or any(
        message.tokens[at].kind == "ratio" for at in range(clause.first, clause.last)
    )


_IMPLIED: tuple[tuple[str, Ask], ...] = (
    ("mould", "growth"), ("streak", "growth"), ("film", "growth"), ("crust", "growth"),
    ("blot", "growth"), ("colour", "growth"), ("pest", "safety"), ("smell", "smell"),
    ("smellcue", "smell"), ("liquid", "liquid"), ("float", "ready"), ("floattest", "ready"),
    ("flour", "flour"), ("tempcue", "warmth"), ("rise", "slow"),
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
