"""Whose jar a clause tells of: the writer's, somebody else's, an older one, or no jar at all."""

from __future__ import annotations

from collections.abc import Sequence

from bot.reading.clauses import Clause
from bot.reading.marks import Mark


def settle_other(clause: Clause, carried: bool) -> bool:
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


def settle_kept(found: Sequence[Clause]) -> None:
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
