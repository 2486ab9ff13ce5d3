"""Whether a clause tells, asks, hopes or remembers, and whose jar it is about."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.ages import settle_age, settle_days
from bot.reading.clauses import Clause, Message
from bot.reading.cutting import cut
from bot.reading.listed import settle_lists
from bot.reading.marks import Mark

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
        carried = _settle_other(clause, carried)
        _settle_retracted(clause, found[at + 1] if at + 1 < len(found) else None)
    settle_days(found)
    _settle_kept(found)
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


def _settle_other(clause: Clause, carried: bool) -> bool:
    """Mark a clause of somebody else's jar; returns whether the next clause goes on about it."""
    mine = clause.one("other", "mine")
    jar = clause.one("other", "jar")
    if jar is not None and any(
        said == "started" and mark.first < jar.last and jar.first < mark.last
        for mark, said in clause.all("act")
    ):
        jar = None  # "Mixed my first starter": begun now, no jar of long ago.
    if jar is not None and clause.message.words[jar.first - 1] in ("to", "than", "like", "unlike"):
        return False
    if jar is None:
        person = clause.one("other", "person")
        if person is not None and _own(clause, person):
            jar = person
    if jar is not None:
        clause.other = True
        own_behind = (
            mine is not None
            and mine.first > jar.last
            and clause.message.words[mine.first] in ("mine", "mines")
        )
        if own_behind:
            clause.other = False
        return not own_behind
    if mine is not None or (clause.opener == "" and not carried):
        carried = False
    thing = clause.one("other", "thing")
    if thing is not None and _subject(clause, thing):
        clause.other = True
        return carried
    clause.other = carried and clause.opener != ""
    return clause.other


def _settle_kept(found: Sequence[Clause]) -> None:
    """ "Pink streaks in my old one, can I use it?": an older jar they mean to use is theirs now."""
    for at, clause in enumerate(found):
        if not clause.other or not clause.has("other", "older"):
            continue
        if any(_means_to_use(one) for one in found[at : at + 3]):
            clause.other = False
            clause.age = 0


def _means_to_use(clause: Clause) -> bool:
    words = clause.words
    asked = clause.mood != "told" or clause.queried
    return asked and any(word in _USING and _that_one(words, at) for at, word in enumerate(words))


def _that_one(words: Sequence[str], at: int) -> bool:
    """Whether a verb's object is the jar told of: "use it", "still use", but not "keep this one"."""
    behind = list(words[at + 1 : at + 5])
    if "this" in behind and behind[behind.index("this") + 1 :][:1] in (
        ["one"],
        ["jar"],
        ["starter"],
    ):
        return False
    return bool(_IT & set(behind)) or "still" in words[max(0, at - 3) : at]


_IT = frozenset({"it", "this", "that", "them"})
_USING = frozenset({"use", "keep", "save", "eat", "bake", "rescue", "salvage", "feed", "revive"})


def _subject(clause: Clause, thing: Mark) -> bool:
    """Whether a thing is what the clause is about, not a flour or what it smells of."""
    alone = clause.message.words[thing.first : thing.last] == ["bread"]
    if clause.has("act", "baked"):
        return False
    flour = clause.message.at(thing.first, "flour")
    if flour is not None and (not alone or flour.last > thing.last):
        return False
    if thing.first > clause.first + 4 or clause.message.at(thing.last, "flour") is not None:
        return False
    for category in ("smellcue", "act", "place"):
        mark = clause.one(category)
        if mark is not None and mark.first < thing.first:
            return False
    before = clause.message.words[max(clause.first, thing.first - 3) : thing.first]
    if before[-1:] in (["like"], ["of"], ["for"], ["into"], ["with"]):
        return False
    # "Like a sad balloon": an adjective stands between.
    return "like" not in before or clause.message.begins(thing.first - 1)


_SPEAKING = frozenset({"says", "said", "thinks", "reckons", "swears", "claims", "told", "noticed"})


def _own(clause: Clause, person: Mark) -> bool:
    words = clause.words
    after = clause.message.words[person.last : person.last + 3]
    if after[:1] and after[0] in _SPEAKING and {"it", "its", "mine", "my"} & set(after[1:]):
        return False
    if {"hers", "his", "theirs", "her", "their", "own"} & set(words):
        return True
    return bool(after) and after[0] in (
        "has", "had", "got", "gets", "says", "said", "told", "swears", "reckons", "thinks", "uses",
        "makes", "bakes", "feeds", "never", "always", "keeps", "just", "doubles", "gave", "claims",
    )  # fmt: skip


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
