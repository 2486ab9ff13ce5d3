"""Whether an act is told as done by the writer to the writer's own jar, not offered or nearly done."""

from __future__ import annotations

from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark

_BASE = frozenset({"bin", "toss", "throw", "chuck", "put", "feed", "move", "stir", "bake", "start", "starting", "give", "add", "use", "mix", "discard", "dump", "pop", "stick", "set", "tip", "pour", "ditch", "begin", "got", "get"})  # fmt: skip
"""What is said of an act that may be still to come: "bin it?", "feed it or wait"."""
_DOER = frozenset({"i", "ive", "we", "weve", "just", "already"})
_SEEKS_A_NOD = frozenset({"ok", "okay", "right", "normal", "yeah", "yes", "good", "enough", "correct", "fine", "bad", "wrong", "safe", "innit", "no"})  # fmt: skip
_ITS = frozenset({"it", "them", "him", "her", "that", "this", "one"})
_OWN = frozenset({"mine", "mines", "ours"})


def done(message: Message, clause: Clause, mark: Mark) -> bool:
    """Whether an act was done: not planned, denied, offered, nearly done, or done to another jar."""
    return (
        clause.did(mark)
        and not offered(clause, mark)
        and not of_another_jar(message, clause)
    )  # fmt: skip


def offered(clause: Clause, mark: Mark) -> bool:
    """ "Bin it?", "fed?", "save it or start again": an act that is asked about or weighed up."""
    words = clause.words
    if _DOER & set(words):
        return False
    base = clause.message.words[mark.first] in _BASE
    if base and "or" in words:
        return True
    if not clause.queried or words[-1] in _SEEKS_A_NOD:
        return False
    told = clause.amounts or any(clause.has(one) for one in ("clock", "day", "weekday"))
    return base or not told


def of_another_jar(message: Message, clause: Clause) -> bool:
    """ "The last one went mouldy so I binned it": "it" is the jar of the clause before."""
    words = set(clause.words)
    if _OWN & words or not _ITS & words:
        return False
    for before in reversed(message.before(clause)):
        if before.sentence != clause.sentence:
            return False
        if before.other and (before.has("other", "jar") or before.has("other", "person")):
            return True
        if before.has("other", "mine") and before.words[0] != "i":
            return False
    return False
