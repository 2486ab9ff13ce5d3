"""Where one clause ends and the next begins."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from itertools import islice

from bot.reading.amounts import Amount
from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark

MOST_CLAUSES = 100
"""Clauses of one message that are read: more than 4,000 letters of speech hold; noise can hold more."""

_STOPS = frozenset({".", "!", "?", ";", "\n", "..", "..."})
_PAUSES = frozenset({",", "(", ")", "[", "]", "|", "&", "/", '"', "*", "•"})
_ASKERS = frozenset({"i", "it", "this", "that", "you", "we", "there", "u", "they", "these", "my"})
_DONE_NEXT = frozenset({"fed", "discarded", "stirred", "binned", "baked"})
"""What is told after a bare "so": "forgot to feed it last night so fed it at 7"."""
_LOOSE = frozenset({"so", "with", "w", "which", "where", "also"})


def cut(message: Message) -> list[Clause]:
    """The clauses in order; a question that is answered on the spot ("bubbles? none") is one."""
    found: list[Clause] = []
    for clause in islice(_cut(message), MOST_CLAUSES):
        before = found[-1] if found else None
        if before is not None and before.queried and _only_answers(clause, before):
            found[-1] = _clause(
                message, before.first, clause.last, before.sentence, before.opener, clause.queried
            )
        else:
            found.append(clause)
    for number, clause in enumerate(found):
        clause.number = number
    return found


def _only_answers(clause: Clause, before: Clause) -> bool:
    """Whether a clause is nothing but "none", "no", "yes loads": the answer to the one before."""
    if len(clause.words) > 3 or len(before.words) > 3:
        return False
    return (
        clause.has("neg", "after") or clause.has("yes", "after") or clause.has("pass")
    ) and not any(clause.has(one) for one in ("bubble", "rise", "smell", "mould", "act"))


def _cut(message: Message) -> Iterator[Clause]:
    tokens, words = message.tokens, message.words
    end = len(tokens)
    inside = _inside(message)
    first, sentence, opener = 0, 0, ""
    for at in range(end + 1):
        stop = words[at] if at < end else "."
        kind = _kind(message, at, first, inside)
        if not kind:
            continue
        if at > first:
            yield _clause(message, first, at, sentence, opener, kind == "stop" and stop == "?")
        match kind:
            case "stop":
                sentence, opener, first = sentence + 1, "", at + 1
            case "pause":
                opener, first = ",", at + 1
            case "ask":
                opener, first = "?", at
            case _:
                opener = stop
                first = at if stop in ("because", "cos", "just", "only", "while") else at + 1


def _inside(message: Message) -> list[bool]:
    inside = [False] * (len(message.tokens) + 1)
    held = [(one.first, one.last) for one in message.marks if not one.says("ask")]
    held += [(one.first, one.last) for one in message.amounts]
    for first, last in held:
        for at in range(first + 1, last):
            inside[at] = True
    return inside


def _kind(message: Message, at: int, first: int, inside: list[bool]) -> str:
    """What ends the clause before token ``at``: stop, pause, ask, but, and; or nothing does."""
    end = len(message.tokens)
    if at == end:
        return "stop"
    if inside[at]:
        return ""
    token, word = message.tokens[at], message.words[at]
    if token.kind == "sign":
        if word in _STOPS:
            return "" if word == "." and _shortened(message, at) else "stop"
        if word in _PAUSES:
            if word == "/" and _holds(message, at):
                return ""
            return "" if word in ("&", "/") and _pairs(message, at) else "pause"
        if word == "-" and token.spaced and at + 1 < end and message.tokens[at + 1].spaced:
            return "pause"
        return ""
    if at <= first:
        return ""
    if _turns_to_ask(message, at, first):
        return "ask"
    return _joint(message, at)


def _shortened(message: Message, at: int) -> bool:
    """ "Yest. 7:30p", "2 tbsp. flour": the full stop of a short word, and more behind it."""
    if at + 1 >= len(message.words) or message.tokens[at].spaced or not at:
        return False
    measured = message.says(at - 1, "unit") is not None and message.words[at - 1] in _UNITS_CUT
    if message.says(at - 1, "weekday") is not None:
        return message.tokens[at + 1].kind in ("number", "clock")
    return measured or message.words[at - 1] in _CUT_SHORT


_CUT_SHORT = frozenset({"yest", "approx", "temp", "temps", "abt"})
_UNITS_CUT = frozenset({"tbsp", "tbsps", "tbs", "tsp", "tsps", "oz", "hr", "hrs", "min", "mins", "lb", "lbs", "gr", "deg"})  # fmt: skip


def _holds(message: Message, at: int) -> bool:
    """Whether a slash is part of a number ("14/7", "1/2") or of "w/" and "w/o"."""
    if not 0 < at < len(message.words) - 1:
        return False
    if message.words[at - 1] == "w" and not message.tokens[at].spaced:
        return True
    return message.tokens[at - 1].kind == message.tokens[at + 1].kind == "number"


def _pairs(message: Message, at: int) -> bool:
    """Whether a word joins two amounts of a kind: "50 and 50", "30g & 30g"."""
    before = next((one for one in message.amounts if one.last == at), None)
    after = next((one for one in message.amounts if one.first == at + 1), None)
    if before is None or after is None or before.part or after.part:
        return False
    return before.kind in ("bare", "mass", "volume") and before.kind == after.kind


def _lists(message: Message, at: int, nxt: int) -> bool:
    """Whether a word joins two things with their masses: "50g flour and 50g water"."""
    amount = next((one for one in message.amounts if one.first == nxt), None)
    if amount is None or amount.kind == "time":
        return False
    behind = any(message.at(amount.last, one) is not None for one in ("flour", "ingredient"))
    return behind and any(_just_before(message, at, one) for one in ("flour", "ingredient"))


def _turns_to_ask(message: Message, at: int, first: int) -> bool:
    """ "... should i feed more", "... is that bad": a question begins without a pause."""
    if message.words[at] == "why" and message.words[at - 1] not in _KNOWING:
        return not _asking_before(message, at, first)
    if ("head", "wh") in message.single[at] or message.words[at] == "when":
        return _inverted(message, at) and not _asking_before(message, at, first)
    if at + 2 >= len(message.words) or message.words[at + 1] not in _ASKERS:
        return False
    if message.tokens[at + 2].kind == "sign":
        return False
    if message.words[at] in ("is", "are", "was", "were") and message.words[at + 1] == "my":
        return False
    if ("head", "aux") not in message.single[at] or message.words[at] in ("may", "must", "might"):
        return False
    if _asking_before(message, at, first):
        return False
    before = message.single[at - 1]
    if message.words[at - 1] == "it":
        return message.words[at] in ("should", "can", "do", "does", "will", "could", "shall", "did")
    return ("head", "subject") not in before or message.words[at - 1] in ("flour", "water", "rye", "starter", "mould", "hooch", "bubbles", "more", "it")  # fmt: skip


def _inverted(message: Message, at: int) -> bool:
    """ "... what should i do": a question word, an auxiliary and a person, nobody knowing it."""
    if at + 2 >= len(message.words) or message.words[at - 1] in _KNOWING:
        return False
    return ("head", "aux") in message.single[at + 1] and message.words[at + 2] in _ASKERS


def _asking_before(message: Message, at: int, first: int) -> bool:
    for back in range(first, at):
        if ("head", "wh") in message.single[back]:
            return True
        headed = message.words[back] == "where" or ("head", "aux") in message.single[back + 1]
        if ("head", "when") in message.single[back] and headed:
            return True
        mark = message.at(back, "head")
        if mark is not None and mark.means("head", "indirect"):
            return True
    return False


_KNOWING = frozenset({"thats", "is", "idea", "know", "sure", "understand", "explain", "wonder", "wondering", "reason", "reasons", "see", "me", "and", "or", "so", "but", "dunno", "clue"})  # fmt: skip


def _joint(message: Message, at: int) -> str:
    """ "but" or "and" when a word there begins a new clause, else nothing."""
    mark = message.at(at, "join")
    join = mark.says("join") if mark is not None else None
    if mark is None or join is None or join == "or":
        return ""
    word = message.words[at]
    before = message.words[at - 1] if at else ""
    if join == "but":
        if word in ("just", "only", "else", "instead"):
            negated = any(
                ("neg", "word") in message.single[back] for back in range(max(0, at - 5), at)
            )
            apart = word in ("just", "only") and negated and before not in ("not", "its", "is")
            return "but" if apart else ""
        return "but"
    nxt = mark.last
    if nxt >= len(message.words):
        return ""
    if word == "so" and message.says(nxt, "act") in _DONE_NEXT:
        return "and"
    if word in _LOOSE:
        headed = any(category == "head" for category, _ in message.single[nxt])
        if not headed or word in ("with", "w") or message.at(nxt, "quant"):
            return ""
        return "and"
    if word in ("and", "n", "plus"):
        if _pairs(message, at) or _lists(message, at, nxt):
            return ""
        for category in ("colour", "smell", "texture", "flour", "ingredient", "spot", "hedge"):
            if message.at(nxt, category) and _just_before(message, at, category):
                return ""
    return "and"


def _just_before(message: Message, at: int, category: str) -> bool:
    for back in range(1, 5):
        mark = message.at(at - back, category)
        if mark is not None and mark.last == at:
            return True
    return False


def _within(marks: Sequence[Mark], first: int, last: int) -> list[Mark]:
    start = bisect_left(marks, first, key=lambda one: one.first)
    end = bisect_left(marks, last, key=lambda one: one.first)
    return list(marks[start:end])


def _measured(amounts: Sequence[Amount], first: int, last: int) -> list[Amount]:
    start = bisect_left(amounts, first + 1, key=lambda one: one.last)
    end = bisect_left(amounts, last + 1, key=lambda one: one.last)
    return list(amounts[start:end])


def _clause(
    message: Message, first: int, last: int, sentence: int, opener: str, queried: bool
) -> Clause:
    return Clause(
        message,
        first,
        last,
        sentence,
        opener,
        _within(message.marks, first, last),
        _measured(message.amounts, first, last),
        queried=queried,
    )
