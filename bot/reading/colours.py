"""Whose colour it is: the culture's, or that of a lid, a label, a flour, a stain outside the jar."""

from __future__ import annotations

from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark


def of_object(message: Message, clause: Clause, mark: Mark) -> bool:
    """Whether the colour is not the culture's: "a pink silicone lid", "the red line", "purple hats"."""
    return (
        _of_known_thing(message, clause, mark)
        or _of_drawn_mark(message, clause, mark)
        or _painted(message, clause, mark)
        or _stained_outside(message, clause)
        or (_attributive(message, clause, mark) and not _placed(clause))
        or _repeated(message, clause, mark)
    )


def unknown_thing(message: Message, clause: Clause, mark: Mark) -> bool:
    """Whether the colour is that of a word nobody knows, so that it may yet be the culture's."""
    behind = mark.last
    known = behind < clause.last and (
        message.at(behind, "unit") is not None or message.words[behind] in _WORLD
    )
    return not known and _attributive(message, clause, mark) and not _placed(clause)


def of_grain(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "Red-brown flecks, whole rye", "grey freckles, they stir in": bran and husk, evenly through it.

    Only flecks, and only when the grain or the stirring is told: a spot or a patch stays a danger.
    """
    flecks = [one for one, _ in clause.all("blot") if message.words[one.first] in _FLECKS]
    if not flecks or any(clause.has(one) for one in ("streak", "liquid", "mould")):
        return False
    near = [one for one in message.clauses[clause.number : clause.number + 2] if one.sentence - clause.sentence <= 1]  # fmt: skip
    return any(
        one.has("grain")
        or any(message.words[told.last - 1] != "flour" for told, _ in one.all("harmless"))
        for one in near
        if not one.has("neg")
    )


_FLECKS = frozenset(
    {"fleck", "flecks", "freckle", "freckles", "speck", "specks", "speckle", "speckles", "speckled", "specs"}
)  # fmt: skip


def _of_known_thing(message: Message, clause: Clause, mark: Mark) -> bool:
    words = message.words
    ahead = mark.last
    if words[ahead : ahead + 1] == ["one"] and words[mark.first - 1] == "the":
        return True
    while ahead < clause.last and ahead <= mark.last + 2:
        if any(message.at(ahead, one) for one in _CONTENTS) and not message.at(ahead, "objects"):
            break
        if any(message.at(ahead, one) for one in ("objects", "flour")):
            return True
        if words[ahead] in _WHERE:
            break
        ahead += 1
    for back in range(mark.first - 1, max(clause.first - 1, mark.first - 4), -1):
        if words[back] in _BETWEEN:
            continue
        thing = message.at(back, "objects") or message.at(back, "flour")
        return thing is not None and words[mark.first - 1] in ("is", "was", "are")
    return False


_CONTENTS = ("blot", "streak", "liquid", "neg", "stuff", "mould")
_BETWEEN = frozenset({"is", "was", "its", "are", "in", "a", "bright", "very", "hot", "the"})
_WHERE = frozenset(
    {"in", "on", "at", "round", "around", "near", "under", "inside", "through", "along", "by", "all"}
)  # fmt: skip


def _of_drawn_mark(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "The red line is where it began": a line somebody drew to measure by, not one in the dough."""
    words = message.words
    behind = words[mark.last : mark.last + 2]
    if not behind or behind[0] not in _DRAWN or words[mark.first - 1] not in _KNOWN:
        return False
    near = message.clauses[clause.number : clause.number + 2]
    said = {word for one in near if one.sentence == clause.sentence for word in one.words}
    measures = bool(_MEASURING & said) or bool(clause.amounts)
    measures = measures or any(said != "base" for _, said in clause.all("rise"))
    return measures and not set(behind[1:]) & _THROUGH and mark.first > clause.first


_DRAWN = frozenset({"line", "mark", "ring", "tick", "dash", "dot"})
_KNOWN = frozenset({"the", "my"})
_MEASURING = frozenset({"where", "start", "started", "starting", "began", "fed", "feed", "level", "past", "over", "above", "below", "on", "at", "to", "reached", "hit", "from", "marks", "halfway"})  # fmt: skip
_THROUGH = frozenset({"in", "through", "inside", "down", "across", "under", "running", "growing"})


def _painted(message: Message, clause: Clause, mark: Mark) -> bool:
    before = message.words[clause.first : mark.first]
    behind = message.words[mark.last : mark.last + 1]
    return bool(_PAINTING & set(before)) or behind in (["ink"], ["dye"])


_PAINTING = frozenset({"painted", "drew", "wrote", "dyed", "labelled", "wearing", "wore"})  # fmt: skip


def _stained_outside(message: Message, clause: Clause) -> bool:
    """ "Jam got on the outside of the jar, thats the red bit": something spilt, and outside."""
    near = [
        one for one in message.clauses[max(0, clause.number - 1) : clause.number + 2]
        if one.sentence == clause.sentence
    ]  # fmt: skip
    words = {word for one in near for word in one.words}
    return "outside" in words and bool(_SPILT & words) and not words & {"inside", "within"}


_SPILT = frozenset(
    {
        "jam", "beetroot", "beet", "juice", "soup", "sauce", "ketchup", "wine", "lipstick", "berry",
        "berries", "raspberry", "strawberry", "cherry", "coffee", "tea", "curry", "turmeric",
        "paprika", "passata", "paint", "spilled", "spilt", "dripped", "splashed", "stain", "stained",
    }
)  # fmt: skip


def _attributive(message: Message, clause: Clause, mark: Mark) -> bool:
    """Whether the colour stands before a thing that is not part of a culture: "purple elephants"."""
    behind = mark.last
    if behind >= clause.last or message.tokens[behind].kind != "word":
        return False
    at = mark.first - 1
    while at >= clause.first and message.words[at] in _DEGREES:
        at -= 1
    if at >= clause.first and message.words[at] in _TURNING:
        return False
    if message.at(behind, "unit") is not None or message.words[behind] in _WORLD:
        return True
    if message.words[behind] in _NO_THING or message.words[behind].endswith(("ly", "ish")):
        return False
    return not message.begins(behind)


_DEGREES = frozenset({"a", "bit", "slightly", "very", "kinda", "kind", "of", "all", "totally", "really", "so", "quite", "sort", "little", "completely", "bright", "weirdly", "just", "now"})  # fmt: skip
_TURNING = frozenset(
    {
        "is", "are", "was", "were", "its", "gone", "going", "goes", "went", "turned", "turning",
        "turns", "looks", "looking", "looked", "look", "got", "became", "becoming", "seems",
        "appears", "being", "been", "be",
    }
)  # fmt: skip
_WORLD = frozenset({"bananas", "banana", "apples", "cheese", "salt", "sugar", "dye", "ink", "masa", "corn", "cornmeal"})  # fmt: skip
_NO_THING = frozenset(
    {
        "and", "or", "but", "on", "in", "at", "to", "of", "from", "with", "the", "a", "it", "its",
        "i", "im", "my", "this", "that", "is", "was", "are", "has", "too", "already", "again",
        "as", "like", "since", "by", "near", "round", "around", "under", "over", "inside",
        "through", "along", "all", "everywhere", "there", "here", "lol", "help", "please", "pls",
        "what", "should", "can", "do", "does", "so", "very", "really", "anywhere", "yet", "either",
        "then", "below", "above", "beneath", "instead", "yuck", "yucky", "nasty", "weird", "for",
        "coming", "appearing", "forming", "starting", "growing", "showing", "spreading", "creeping",
        "if", "because", "when", "where", "which", "who", "how", "why", "hmm", "ugh", "eek", "argh",
        "omg", "rather", "than", "between", "among", "within", "behind", "beside", "against", "up",
        "down", "off", "out", "into", "onto", "about", "gross", "crap", "muck", "gunge", "gungy",
        "one", "ones", "colour", "color", "coloured", "colored", "hued", "tinged", "toned", "not", "no", "maybe",
    }
)  # fmt: skip


def _placed(clause: Clause) -> bool:
    """Whether the clause says where in the jar it is."""
    return any(clause.has(one) for one in ("where", "jarplace"))


def _repeated(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "Pink spatula, pink lid, pink everything"."""
    if message.words[mark.last : mark.last + 1] != ["everything"]:
        return False
    word = message.words[mark.first]
    return any(
        one is not mark and message.words[one.first] == word and _of_known_thing(message, part, one)
        for part in message.clauses
        for one, _ in part.all("colour")
    )
