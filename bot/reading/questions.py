"""Whether a clause asks by its form: a question word, the order of words, a fragment, a choice."""

from __future__ import annotations

from bot.culture.vocabulary import Ask
from bot.reading.asking import asking
from bot.reading.clauses import Clause
from bot.reading.slips import plainly

_LONGEST_CHOICE = 12
"""Words: "tap or bottled" chooses; a longer sentence with "or" in it mostly tells."""

_OF_THINGS = frozenset({"flour", "water", "jar", "cold", "discard", "missed", "timing", "bake", "safety", "amounts", "warmth"})  # fmt: skip
"""Kinds that no report of the jar's state is mistaken for."""

_PLAIN = 2.0
"""Weight from which a question about a thing is plainly one."""

_TAKING = frozenset({"i", "we", "both", "either", "neither", "all", "it", "its", "im", "ive"})
"""What goes on after a choice to say that it is made: "white or rye, i use both"."""

_KNOWS = frozenset({"know", "tell"})

_SEEN = ("rise", "bubble", "smell", "surface", "mould", "pest")
_DOUBTED = ("bubble", "smell", "surface", "texture", "liquid", "mould", "pest", "float", "act")


def onset(clause: Clause) -> int | None:
    """The word of the clause at which it begins to ask, by its form alone; None: it does not."""
    form, text = asking().form, plainly(clause.words)
    if only_tells(clause):
        return None
    if _led(clause):
        return 0
    if form.tails.find(text) is not None:
        return 0
    found = form.asks.find(text)
    if found is not None:
        return found.first
    fragment = len(clause.words) > 1 and form.told_verb.find(text) is None
    if fragment and (found := form.bare.find(text)) is not None:
        return 0
    return 0 if _chooses(clause, text) else None


def _led(clause: Clause) -> bool:
    """Whether a question word was taken for a joint: "hi which flour is best"."""
    before = clause.message.before(clause)
    if clause.opener != "which" or not before:
        return False
    said = [word for word in before[-1].words if word[0].isalnum()]
    return asking().form.greets.find(plainly(said)) is not None


def only_tells(clause: Clause) -> bool:
    """Whether what looks like a question is none: "how lovely it looks", "i know what to do"."""
    if clause.words[0] == "how" and _KNOWS & set(clause.words[2:5]):
        # "How do I know when to feed" asks, where "I know when to feed" tells.
        return False
    return asking().form.tells.find(plainly(clause.words)) is not None


def _chooses(clause: Clause, text: str) -> bool:
    """ "Tap or bottled", "feed before work or after": two things, and nothing told of either."""
    words = clause.words
    if "or" not in words[1:-1] or len(words) > _LONGEST_CHOICE or clause.has("neg", "word"):
        return False
    after = clause.message.clauses[clause.number + 1 : clause.number + 2]
    if after and after[0].sentence == clause.sentence and after[0].words[0] in _TAKING:
        return False
    form = asking().form
    told = form.told_start.find(text) or form.told_or.find(text)
    return told is None and not any(clause.has(one) for one in _SEEN)


def worth(clause: Clause, weight: float, ask: Ask) -> bool:
    """Whether a told clause that ends in "?" asks: "bin?" does, "thin like water??" only doubts."""
    if ask in _OF_THINGS and weight >= _PLAIN:
        return True
    signs = {
        "growth": ("mould", "colour", "film", "crust"),
        "smell": ("smell",),
        "liquid": ("liquid",),
    }
    if any(clause.has(one) for one in signs.get(ask, ())):
        return True
    risen = any(said not in ("little", "up", "base") for _, said in clause.all("rise"))
    if not (risen or any(clause.has(one) for one in _DOUBTED)) or _asks_inside(clause):
        return True
    if ask in ("normal", "next", "ready", "alive", "keep", "safety") or clause.words[-1] == "it":
        return True
    return len(clause.words) <= 3 or clause.words[0] == "too" or clause.words[-2:-1] == ["isnt"]


def _asks_inside(clause: Clause) -> bool:
    """ "peak is when exactly?"."""
    return bool({"when", "what", "how", "which", "why", "where"} & set(clause.words))
