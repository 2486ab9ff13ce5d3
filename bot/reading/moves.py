"""Where the jar was moved to."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from bot.culture.vocabulary import Act, Moved, Spot
from bot.reading.clauses import Clause, Message
from bot.reading.deeds import done
from bot.reading.marks import Mark

_FAR = 8
"""Words between the verb and the place beyond which they have nothing to do with each other."""


def moved(message: Message, clause: Clause) -> list[tuple[int, int, Act]]:
    out = clause.one("outof")
    verb = clause.one("act", "moveverb")
    if out is not None:
        if not done(message, clause, out) or (verb is None and len(clause.words) > _FAR):
            return []
        spot = next(
            (said for mark, said in clause.all("spot") if mark.first >= out.last), "counter"
        )
        return [(out.first, out.last, Moved(to=cast("Spot", spot)))]
    if verb is None or not done(message, clause, verb) or clause.has("habit"):
        return []
    words = message.words
    left = [one for one in clause.all("spot") if _left(words, one[0].first)]
    spots = [one for one in clause.all("spot") if one not in left and not _of_jar(words, one[0])]
    if left and not spots:
        # "Took it out of the cupboard, its on the counter now": the place is in the next clause.
        after = message.clauses[clause.number + 1 : clause.number + 2]
        spots = after[0].all("spot") if after and after[0].sentence == clause.sentence else []
        return [(verb.first, left[0][0].last, Moved(to=cast("Spot", spots[0][1])))] if spots else []
    if not spots:
        return []
    mark, meaning = next((one for one in spots if one[0].first >= verb.last), spots[0])
    backwards = mark.first < verb.first and words[verb.first] != "went"
    if backwards or mark.first - verb.last > _FAR or clause.denied(mark):
        return []
    if words[verb.first] in ("to", "into") and len(clause.words) > 5 and clause.has("head"):
        return []
    return [(verb.first, mark.last, Moved(to=cast("Spot", meaning)))]


def _of_jar(words: Sequence[str], mark: Mark) -> bool:
    """ "Got on the outside of the jar": a side of the jar, not where the jar is."""
    return words[mark.first] == "outside" and (
        words[mark.last : mark.last + 1] == ["of"] or words[mark.first - 1] == "the"
    )


def _left(words: Sequence[str], at: int) -> bool:
    """Whether the place is what it was taken from: "out of the cupboard"."""
    before = list(words[max(0, at - 3) : at])
    out = before[-2:] in (["of", "the"], ["of", "my"], ["out", "the"]) and "out" in words
    return "from" in before or out
