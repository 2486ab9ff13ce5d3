"""Where a message leaves real doubt about a danger or a number, so that one question can be asked."""

from __future__ import annotations

from bot.culture.vocabulary import Signs
from bot.reading.clauses import Clause
from bot.reading.colours import unknown_thing
from bot.reading.reading import Doubt

_LOOKS_LIKE: tuple[tuple[str, Doubt], ...] = (
    ("mould", "mould"),
    ("pest", "pests"),
)
_STREAKS = frozenset({"pink", "orange", "red"})


def doubts(parts: list[Clause], signs: Signs, impossible: bool) -> tuple[Doubt, ...]:
    """The slots in doubt, each once, the gravest first.

    A danger is in doubt when it is only asked about or only suspected; a smell when it is bad and
    nothing more is said of it; a warmth when no kitchen can have it; a rise when it has no base.
    """
    found: list[Doubt] = []
    for clause in parts:
        if clause.other or clause.retracted or clause.listed_to > clause.first:
            continue
        unsure = clause.mood == "asked" and not _general(clause)
        unsure = unsure or clause.has("hedge") or (clause.queried and clause.mood == "told")
        for category, doubt in _LOOKS_LIKE:
            if unsure and clause.has(category) and not clause.has("neg"):
                found.append(doubt)
        if unsure and any(one in _STREAKS for _, one in clause.all("colour")):
            found.append("streak")
        if not signs.smell and clause.mood != "asked" and _reeks(clause):
            found.append("rotten")
        if not signs.mould and (_specks(clause) or _gone_black(clause)):
            found.append("mould")
        if not signs.streak and _of_an_unknown_thing(clause):
            found.append("streak")
        measured = any(one.kind == "length" for one in clause.amounts)
        if signs.rise is None and measured and clause.has("rise", "base") and clause.mood == "told":
            found.append("rise")
    if impossible and signs.temperature is None:
        found.append("temperature")
    return tuple(dict.fromkeys(found))


def _reeks(clause: Clause) -> bool:
    """Whether it smells bad and nothing more is said of how."""
    if clause.has("neg"):
        return False
    stinks = any("stink" in one or "stench" in one or one == "reeks" for one in clause.words)
    return stinks or (clause.has("smellbad") and clause.has("smellcue"))


def _general(clause: Clause) -> bool:
    """ "What does mould look like": about the thing in the world, not in this jar."""
    return clause.words[0] in ("what", "how", "can", "will", "does", "when", "could")


def _gone_black(clause: Clause) -> bool:
    """ "The top is black": liquid, spots or fuzz, it does not say which."""
    if (
        clause.mood == "asked"
        or clause.has("liquid")
        or clause.has("objects")
        or clause.has("smellcue")
    ):
        return False
    there = clause.has("where", "top") or clause.has("layer")
    return there and any(
        said == "black" and mark.first < clause.iffy_at and not clause.denied(mark)
        for mark, said in clause.all("colour")
    )


def _of_an_unknown_thing(clause: Clause) -> bool:
    """ "Pink snoozle": the word behind the colour is nobody's, and may be of the jar."""
    return clause.mood == "told" and any(
        said in _STREAKS and unknown_thing(clause.message, clause, mark)
        for mark, said in clause.all("colour")
    )


def _specks(clause: Clause) -> bool:
    dark = any(one in ("black", "brown", "grey", "white") for _, one in clause.all("colour"))
    return clause.has("blot") and dark and clause.mood != "asked" and not clause.has("neg")
