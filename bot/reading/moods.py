"""Whether a clause tells, asks, hopes or remembers."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.ages import settle_age, settle_days
from bot.reading.clauses import Clause, Message
from bot.reading.cutting import cut
from bot.reading.listed import settle_lists
from bot.reading.whose import settle_kept, settle_other

_ANSWERED = frozenset({"it", "my", "this", "that", "the", "i", "there", "she", "he", "mine", "its", "anyone"})  # fmt: skip
_BARE_VERBS = frozenset(
    {
        "see", "feed", "be", "have", "do", "not", "smell", "tell", "hear", "say", "like", "try",
        "keep", "put", "start", "wait", "let", "bake", "double", "only", "never", "also", "just",
        "now", "still", "add", "move", "report", "check", "definitely", "probably", "look",
    }
)  # fmt: skip


_SHRUGS = frozenset({"no", "dont", "idk", "dunno", "not", "unsure", "cant"})
""""No idea how much" shrugs; "no idea why it fell" asks."""


def clauses(message: Message) -> list[Clause]:
    """The clauses of a message in order, their moods settled."""
    found = cut(message)
    message.clauses = found
    settle_lists(found)
    carried = False
    supposed = -1
    for at, clause in enumerate(found):
        _settle_mood(clause)
        if at and _asked_with(clause, found[at - 1]):
            clause.mood = "asked"
        _settle_iffy(clause)
        if clause.sentence == supposed and clause.opener != "":
            clause.iffy_at = min(clause.iffy_at, clause.first)
        if (
            clause.words[0] in ("if", "when", "once", "unless", "whenever")
            and clause.iffy_at == clause.first
        ):
            supposed = clause.sentence
        settle_age(clause)
        before = found[at - 1] if at else None
        if (
            before is not None
            and before.sentence == clause.sentence
            and before.bread
            and not clause.has("other", "mine")
        ):
            clause.bread = True
        clause.bread = clause.bread or clause.has("act", "baked")
        carried = settle_other(clause, carried)
        _settle_retracted(clause, found[at + 1] if at + 1 < len(found) else None)
    settle_days(found)
    settle_kept(found)
    return found


def _settle_mood(clause: Clause) -> None:
    message = clause.message
    words = message.words
    at, end = clause.first, clause.last
    indirect = clause.one("head", "indirect")
    if indirect is not None and not (words[indirect.first] in _SHRUGS and end - indirect.last <= 1):
        clause.mood = "asked"
        return
    if _tagged(clause):
        clause.queried = True
        return
    if _weighs_two(clause):
        clause.mood = "asked"
        return
    while at < end - 1:
        mark = message.at(at, "head")
        if mark is None or not mark.means("head", "filler") or _asks_at(message, at, end):
            break
        at = mark.last
    kind = _asks_at(message, at, end)
    if kind:
        clause.mood = "presumed" if kind == "why" or _presumes(words[at:end]) else "asked"


def _asked_with(clause: Clause, before: Clause) -> bool:
    """ "Difference between kahm and mould?": the second thing of one question."""
    whole = clause.opener == "and" and clause.queried and clause.sentence == before.sentence
    return whole and before.mood == "asked" and len(clause.words) <= 2


_TOLD = ("bubble", "smell", "smellcue", "mould", "rise", "surface", "liquid", "film", "hedgenum", "quant", "neg", "streak")  # fmt: skip


def _weighs_two(clause: Clause) -> bool:
    """ "Tight lid or loose lid", "50g or 100g?": two things to choose from, and nothing told."""
    words = clause.words
    if (
        clause.listed_to > clause.first
        or "or" not in words[1:-1]
        or len(words) > 7
        or not (clause.has("ask") or clause.queried)
    ):
        return False
    told = ("smellcue", "mould", "pest") if clause.queried else _TOLD
    acted = any(meaning not in ("moveverb", "feedword") for _, meaning in clause.all("act"))
    return not acted and not any(clause.has(one) for one in told)


_ALTERNATIVES = frozenset(
    {"not", "no", "bad", "bin", "toss", "throw", "chuck", "wait", "keep", "dead", "nah"}
)


def _tagged(clause: Clause) -> bool:
    """ "thats just the bran isnt it": told, and asked at the end."""
    words = clause.words
    tail = list(words[-2:])
    if len(words) > 3 and tail in (
        ["isnt", "it"],
        ["arent", "they"],
        ["doesnt", "it"],
        ["isnt", "that"],
    ):
        return True
    if len(words) > 2 and words[-2] == "or" and words[-1] in _ALTERNATIVES:
        return True
    if len(words) > 3 and words[-1] == "right" and clause.has("ask"):
        return True
    return len(words) > 2 and clause.queried and words[-1] in ("right", "innit", "yeah", "yes")


def _presumes(words: Sequence[str]) -> bool:
    """ "Is the pink bit dangerous", "is it normal that it smells of feet": the sign is a given."""
    if words[0] not in ("is", "are", "isnt", "does", "do", "can", "should", "will"):
        return False
    text = " ".join(words)
    return any(
        one in text
        for one in ("normal that", "ok that", "okay that", "bad that", "normal for it", "supposed to smell", "meant to smell", "meant to be this", "supposed to be this")
    ) or (words[1] in ("this", "the", "these", "those") and len(words) > 3)  # fmt: skip


def _asks_at(message: Message, at: int, end: int) -> str:
    """Whether a question begins at a token: "why", "yes" or nothing."""
    if at >= end:
        return ""
    word = message.words[at]
    nxt = message.words[at + 1] if at + 1 < end else ""
    if word in ("any", "anything", "anyone", "anybody") and message.words[end : end + 1] == ["?"]:
        return "yes"
    heads = [meaning for category, meaning in message.single[at] if category == "head"]
    if "wh" in heads:
        if word in ("what", "which", "how") and nxt in ("a", "an", "the") and word != "which":
            return "yes" if message.words[end : end + 1] == ["?"] else ""
        if word in ("why", "whys") or (word == "how" and nxt == "come"):
            return "why"
        if word == "who" and nxt not in ("made", "are", "is", "built"):
            return ""
        return "yes"
    follower = message.single[at + 1] if at + 1 < end else ()
    if "when" in heads:
        asks_place = word == "where" and any(
            ("head", "aux") in message.single[one] for one in range(at + 2, min(end, at + 7))
        )
        return "yes" if ("head", "aux") in follower or asks_place else ""
    if "aux" not in heads or not nxt:
        return ""
    if nxt == "be" and word in ("might", "may", "could"):
        # "Might be fuzz?" is what somebody sees and doubts, not a question about fuzz.
        return ""
    queried = message.words[end : end + 1] == ["?"]
    if word in ("have", "had"):
        return "yes" if nxt in ("i", "you", "we") else ""
    if word in ("has", "was", "were"):
        return "yes" if nxt in _ANSWERED else ""
    if at + 1 < end and message.tokens[at + 1].kind == "number" and not queried and word == "does":
        return ""
    if word in ("do", "does", "can", "could", "should", "will", "would", "shall"):
        return "" if nxt in _BARE_VERBS and not queried else "yes"
    if word == "did" and nxt == "it" and not queried and message.words[at - 1 : at] == ["but"]:
        return ""
    if word == "did" and nxt in ("the", "a", "my", "some", "it") and not queried:
        return "yes" if nxt == "it" and end - at > 2 else ""
    if ("head", "subject") in follower:
        return "yes"
    if word in ("is", "are", "isnt", "am"):
        rest = message.words[at + 2 : end]
        named = any(
            message.at(at + 1, one)
            for one in ("colour", "film", "mould", "flour", "liquid", "streak")
        )
        if named and len(rest) >= 2 and ("or" in rest or message.at(at + 1, "colour")):
            return "yes"
        weighed = bool(
            {
                "too",
                "enough",
                "ok",
                "normal",
                "problem",
                "issue",
                "dangerous",
                "safe",
                "bad",
                "okay",
                "better",
                "good",
            }
            & set(rest)
        )
        return "yes" if queried or weighed else ""
    return "yes" if queried else ""


def _settle_iffy(clause: Clause) -> None:
    meant = clause.one("correct", "strong")
    for mark, _ in clause.all("iffy"):
        if meant is not None and meant.first <= mark.first < meant.last:
            continue
        if any(one.first <= mark.first < one.last for one, _ in clause.all("double")):
            continue
        words = clause.message.words
        before = words[max(clause.first, mark.first - 4) : mark.first]
        if words[mark.first] in _TILL and "from" in before:
            # "From breakfast till supper" is over: two ends of a span.
            continue
        clause.iffy_at = mark.first
        return


_TILL = frozenset({"till", "til", "until"})


def _settle_retracted(clause: Clause, after: Clause | None) -> None:
    """ "I said it doubled, it didnt", "thought it was mould but its flour": taken back at once."""
    if after is None:
        return
    if clause.has("pest") and after.has("correct") and _was_grain(after):
        clause.age, clause.retracted = 2, True
        return
    if after.opener == "but" and after.text in _NOT_SO:
        clause.age, clause.retracted = 2, True
        return
    if not clause.has("said"):
        return
    taken_back = (
        after.opener in ("but", "though", "tho", "however") or after.has("neg") or after.has("now")
    )
    if taken_back and not after.has("mould"):
        clause.age = 2
        clause.retracted = True


def _was_grain(after: Clause) -> bool:
    """ "Tiny worms, no wait, bran"."""
    near = after.message.clauses[after.number : after.number + 2]
    return any(one.has("harmless") for one in near)


_NOT_SO = frozenset(
    {
        "its not",
        "it isnt",
        "it wasnt",
        "it didnt",
        "it hasnt",
        "its not really",
        "not really",
        "no",
        "its really not",
    }
)
