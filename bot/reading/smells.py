"""What it smells of."""

from __future__ import annotations

from typing import cast

from bot.culture.vocabulary import Smell
from bot.reading.claims import Claim, claim
from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark


def smells(message: Message, clauses: list[Clause]) -> list[Claim[Smell]]:
    """Every smell told, each once, the order told."""
    found: list[Claim[Smell]] = []
    cued = False
    sentence = -1
    for clause in clauses:
        cue = clause.one("smellcue")
        if found and _is_gone(clause):
            found.clear()
        if clause.sentence != sentence:
            cued, sentence = False, clause.sentence
        if cue is None and not (
            cued
            and clause.opener in (",", "and", "n", "plus", "then", "but", "more")
            and _starts_with_smell(message, clause)
        ):
            cued = False
            if not clause.has("smell"):
                continue
        if clause.mood == "asked" or clause.other or clause.bread or clause.age > 1:
            cued = clause.age > 1 and cue is not None
            continue
        if cue is not None and _of_something_else(message, clause, cue):
            cued = False
            continue
        is_cued = cue is not None or cued
        for mark, meaning in clause.all("smell"):
            if mark.first >= clause.iffy_at:
                continue
            word = message.words[mark.first]
            if not is_cued and not (
                _foul(message, mark) or _describes(word) or _fragment(message, clause)
            ):
                continue
            if (
                cue is not None
                and mark.first < cue.first
                and not (word in _PLAIN_SMELLS or _leads_to(message, clause, mark, cue))
            ):
                continue
            if clause.denied(mark) or _left_behind(message, clause, mark):
                continue
            if (
                meaning == "floury"
                and word == "flour"
                and message.words[mark.first - 1 : mark.first] in (["the"], ["my"])
            ):
                continue
            if meaning != "none" and all(one.value != meaning for one in found):
                found.append(claim(clause, mark, cast("Smell", meaning)))
            elif meaning == "none":
                found.append(claim(clause, mark, "none"))
        if (
            cue is not None
            and cue.first < clause.iffy_at
            and _smells_of_nothing(message, clause, cue)
        ):
            found.append(claim(clause, cue, "none"))
        cued = is_cued
    if any(one.value != "none" for one in found):
        found = [one for one in found if one.value != "none"]
    newest = min((one.age for one in found), default=0)
    return [one for one in found if one.age == newest]


_PLAIN_SMELLS = frozenset(
    {
        "sour", "yeasty", "sweet", "acetone", "cheesy", "vinegary", "vinegar", "fruity", "boozy",
        "tangy", "putrid", "beery", "acidic", "alcoholic", "eggy", "nail", "sourish", "sweetish",
        "rotten", "yoghurty", "yogurty", "fermented", "floury",
    }
)  # fmt: skip


def _of_something_else(message: Message, clause: Clause, cue: Mark) -> bool:
    """ "my fridge smells of fish": it is not the culture that smells."""
    words = message.words
    if message.words[cue.first - 1] == "bin":
        return True
    for category in ("objects", "place", "ingredient"):
        for mark, _ in clause.all(category):
            if any(one.last == cue.first for one, _ in clause.all("smell")):
                continue
            if not 0 <= cue.first - mark.last <= 1 or words[mark.first] in _OURS:
                continue
            if not {"in", "inside", "from"} & set(words[clause.first : mark.first]):
                return True
    return False


_OURS = frozenset(
    {
        "jar",
        "lid",
        "tub",
        "container",
        "pot",
        "bowl",
        "dough",
        "flour",
        "mug",
        "starter",
        "mix",
        "mixture",
        "culture",
        "levain",
        "top",
        "glass",
    }
)


def _left_behind(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "went from vomit to fruity": the first is no longer there."""
    before = message.words[max(clause.first, mark.first - 2) : mark.first]
    return "from" in before and "to" in message.words[mark.last : clause.last]


def _leads_to(message: Message, clause: Clause, mark: Mark, cue: Mark) -> bool:
    """ "A yoghurt and honey smell": only other smells stand between it and the cue."""
    others = {at for one, _ in clause.all("smell") for at in range(one.first, one.last)}
    between = [at for at in range(mark.last, cue.first) if at not in others]
    words = [message.words[at] for at in between]
    return len(words) <= 1 or all(one in _BRIDGE for one in words)


_BRIDGE = frozenset({"and", "a", "bit", "or", "kind", "of", "about", "the", "its", "to"})


def _foul(message: Message, mark: Mark) -> bool:
    """ "Meat gone off": foul enough to need no verb."""
    words = message.words[mark.first : mark.last]
    said = {"gone", "rotten", "rotting", "spoiled", "spoilt"} & set(words)
    return mark.means("smell", "rotten") and len(words) > 1 and bool(said)


def _is_gone(clause: Clause) -> bool:
    """ "... but after two feeds its gone": said of the smell before."""
    gone = clause.one("neg", "after")
    if gone is None or clause.message.words[gone.first] not in ("gone", "faded", "has", "went"):
        return False
    others = ("bubble", "mould", "liquid", "rise", "film", "pest", "place", "objects")
    return gone.last == clause.last and not any(clause.has(one) for one in others)


def _starts_with_smell(message: Message, clause: Clause) -> bool:
    mark = clause.one("smell")
    return (
        mark is not None
        and mark.first - clause.first <= 4
        and not clause.has("bubble")
        and not clause.has("act", "fed")
    )


_PADDING = frozenset(
    {
        "like", "a", "bit", "of", "the", "kinda", "sort", "very", "almost", "old", "proper",
        "more", "pure", "now", "just", "kind", "an", "slightly", "little", "really", "so", "not",
        "some", "quite", "rather",
    }
)  # fmt: skip
_KITCHEN = frozenset({"floury", "yeasty", "sweet"})


def _fragment(message: Message, clause: Clause) -> bool:
    """A clause that names a smell and nothing else: "gym bag.", "like rotting cabbage almost"."""
    mark = clause.one("smell")
    if mark is None or clause.has("texture") or (clause.queried and clause.words[0] != "like"):
        return False
    rest = [
        message.words[at]
        for at in range(clause.first, clause.last)
        if message.says(at, "smell") is None and not any(one.first < at < one.last for one in clause.marks)
    ]  # fmt: skip
    likened = clause.words[0] == "like" and mark.first - clause.first <= 3
    if likened and not any(clause.has(one) for one in ("texture", "bubble", "surface")):
        return True
    if any(one not in _PADDING for one in rest):
        return False
    plain = (
        mark.means("smell", "floury")
        or mark.means("smell", "yeasty")
        or mark.means("smell", "sweet")
    )
    if plain and clause.words[0] != "like":
        return any(part.has("smell") for part in message.clauses if part is not clause) or (
            len(message.words) <= 2 and message.words[mark.first] not in ("flour", "bread", "dough")
        )
    return True


def _describes(word: str) -> bool:
    """Whether a smell word can only be a smell: an adjective, not a thing that stands about."""
    return word in _PLAIN_SMELLS or (word.endswith("y") and word not in _THINGS_IN_Y)


_THINGS_IN_Y = frozenset(
    {
        "honey", "sherry", "brandy", "whisky", "whiskey", "bakery", "brewery", "cherry", "berry",
        "strawberry", "hay", "grainy", "wheaty", "doughy", "milky", "salty", "dairy",
        "distillery", "winery", "farmyard", "body", "raspberry", "stinky", "candy", "day",
        "chemistry", "pizzeria", "floury", "mushroomy", "bready",
    }
)  # fmt: skip


def _smells_of_nothing(message: Message, clause: Clause, cue: Mark) -> bool:
    words = message.words[clause.first : clause.last]
    behind = message.words[cue.last : cue.last + 4]
    if clause.has("smell") or clause.has("smellbad"):
        return False
    if "nothing" in behind or behind[:2] == ["like", "nothing"] or "neutral" in behind:
        return True
    if clause.has("smellgood"):
        return False
    scant = " ".join(message.words[max(clause.first, cue.first - 2) : cue.first])
    if scant in ("almost no", "hardly any", "barely any", "next to no"):
        return True
    if clause.denied(cue):
        return "dont like" not in " ".join(words) and "stink" not in message.words[cue.first]
    return False
