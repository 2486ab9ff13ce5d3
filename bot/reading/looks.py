"""What the eye sees: the surface and the bubbles."""

from __future__ import annotations

from typing import cast

from bot.culture.vocabulary import Bubbles, Surface
from bot.reading.claims import Claim, claim, latest
from bot.reading.clauses import Clause, Message
from bot.reading.marks import Mark


def surface(message: Message, clauses: list[Clause]) -> Claim[Surface] | None:
    found: list[Claim[Surface]] = []
    for clause in clauses:
        if clause.mood == "asked" or clause.other or clause.age > 1 or clause.bread:
            continue
        for mark, meaning in clause.all("surface"):
            if mark.first >= clause.iffy_at:
                continue
            if clause.compared(mark):
                continue
            if clause.denied(mark):
                if meaning == "flat":
                    found = [one for one in found if one.weight]
                elif meaning == "domed" and not _denies(clause, "flat"):
                    found.append(claim(clause, mark, "flat", 0))
                continue
            if meaning == "fallen" and _drops(message, clause, mark):
                continue
            if meaning == "domed" and _of_the_lid(message, clause, mark):
                continue
            if meaning == "flat" and _only_a_place_or_shape(message, clause, mark):
                continue
            found.append(claim(clause, mark, cast("Surface", meaning)))
    return latest(found)


def _drops(message: Message, clause: Clause, mark: Mark) -> bool:
    """Whether something else fell: a spoonful in water, the temperature, the jar."""
    if any(one.kind == "warmth" for one in clause.amounts):
        return True
    if clause.has("tempcue", "reading") or clause.has("floattest") or clause.has("place", "water"):
        return True
    word = message.words[mark.first]
    if word in ("came", "come", "coming") and _came_downstairs(message, clause, mark):
        return True
    floated = message.has("floattest") or any(one.has("float", "yes") for one in message.clauses)
    if word in ("sank", "sunk", "sinks", "sinking", "dropped", "drops", "falls") and floated:
        return True
    spooned = any(
        one in message.words for one in ("spoonful", "blob", "dollop", "teaspoon")
    ) or any(
        one in " ".join(message.words)
        for one in ("in water", "in the water", "glass of water", "into water")
    )
    if (
        word in ("sank", "sunk", "sinks", "dropped")
        and spooned
        and not clause.has("where", "middle")
    ):
        return True
    behind = message.words[mark.last : mark.last + 3]
    return behind[:1] in (["the"], ["my"], ["some"], ["it"], ["in"], ["off"], ["asleep"]) and word in ("dropped", "fell", "drop", "went", "gone", "going", "came") and behind != ["in", "the", "middle"]  # fmt: skip


def _came_downstairs(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "Domed when I came down", "came down to a bubbly jar": a person did."""
    words = message.words
    if mark.first > clause.first and words[mark.first - 1] in ("i", "we", "ive", "hubby"):
        return True
    if mark.first or mark.last >= len(words):
        return False
    behind = message.words[mark.last : mark.last + 4]
    return behind[0] in ("to", "stairs") or bool({"to", "and"} & set(behind[1:]))


_LIDS = frozenset({"lid", "lids", "cover", "clingfilm", "foil"})
_PAST_IT = frozenset({"under", "below", "off", "at", "to"})


def _of_the_lid(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "The lid is bulging" tells of pressure, not of the dough's surface."""
    words = message.words
    before = words[max(clause.first, mark.first - 4) : mark.first]
    behind = mark.last + (words[mark.last : mark.last + 1] in (["jar"], ["metal"], ["plastic"]))
    if behind < clause.last and words[behind] in _LIDS:
        return True
    return bool(_LIDS & set(before)) and not _PAST_IT & set(before)


def _only_a_place_or_shape(message: Message, clause: Clause, mark: Mark) -> bool:
    """ "in the flat", "the level", "flat white film", "level with the band"."""
    words = message.words
    before = words[mark.first - 1] if mark.first else ""
    behind = words[mark.last] if mark.last < len(words) else ""
    alone = mark.last - mark.first == 1
    if alone and before in ("the", "my", "our", "a") and behind not in ("top", "surface", "and"):
        return True
    if words[mark.first] == "level" and (
        behind in ("with", "of", "teaspoon", "tbsp", "tsp", "cup", "has", "is", "spoon")
        or clause.has("rise", "verb")
    ):
        return True
    shaped = clause.has("film") or clause.has("mould")
    return shaped and alone and behind != "top" and not clause.has("surface", "domed")


def _denies(clause: Clause, meaning: str) -> bool:
    return any(
        said == meaning and clause.denied(mark)
        for part in clause.message.clauses
        for mark, said in part.all("surface")
    )


def bubbles(message: Message, clauses: list[Clause]) -> Claim[Bubbles] | None:
    found: list[Claim[Bubbles]] = []
    for clause in clauses:
        if clause.mood == "asked" or clause.other or clause.age > 1 or clause.bread:
            continue
        for mark, meaning in clause.all("bubble"):
            if mark.first >= clause.iffy_at or clause.compared(mark):
                continue
            found.append(claim(clause, mark, _bubbles(message, clause, mark, meaning)))
        if (more := _more_there(message, clause)) is not None:
            found.append(claim(clause, more[0], more[1]))
        earlier = any(one.has("bubble") for one in message.before(clause)[-2:])
        if (gone := _ellipsis(message, clause)) is not None:
            found.append(claim(clause, gone, "none"))
        if earlier and (none := _none_left(clause)) is not None:
            found.append(claim(clause, none, "none"))
    best = latest(found)
    if best is not None and any(
        clause.first > best.last and clause.has("rise", "nothing") and clause.seen(clause.first)
        for clause in clauses
    ):
        return None
    return best


def _more_there(message: Message, clause: Clause) -> tuple[Mark, Bubbles] | None:
    """ "no bubbles on top but loads underneath", "used to bubble, now just a few": no noun again."""
    before = message.before(clause)
    linked = clause.opener in ("but", "then", "just") or clause.has("now") or len(clause.words) == 1
    if not before or not before[-1].has("bubble") or not linked or len(clause.words) > 5:
        return None
    if any(clause.has(one) for one in _NOT_BUBBLES) or clause.has("bubble"):
        return None
    for mark, meaning in clause.all("quant"):
        return mark, cast("Bubbles", meaning)
    return None


_NOT_BUBBLES = (
    "smell",
    "smellcue",
    "liquid",
    "texture",
    "act",
    "mould",
    "surface",
    "unit",
    "film",
    "tempcue",
)


def _ellipsis(message: Message, clause: Clause) -> Mark | None:
    """ "theirs is full of bubbles, mine isnt"."""
    before = message.before(clause)
    if not before or not clause.left_out or not before[-1].has("bubble"):
        return None
    return clause.one("neg", "word")


def _none_left(clause: Clause) -> Mark | None:
    """ "there are none", "now none": a clause that says only that what was told of is gone."""
    mark = clause.one("neg", "after")
    signs = ("bubble", "rise", "smell", "smellcue", "mould", "liquid", "pest", "streak", "colour")
    if mark is None or len(clause.words) > 5 or any(clause.has(one) for one in (*signs, "where")):
        return None
    return mark if clause.message.words[mark.first] in ("none", "gone", "zero") else None


_TRAILING = frozenset({"lots", "loads", "few", "some", "plenty"})


def _bubbles(message: Message, clause: Clause, mark: Mark, meaning: str) -> Bubbles:
    near: list[tuple[int, str]] = []
    for one, quantity in clause.all("quant"):
        if any(neg.first <= one.first < neg.last for neg, _ in clause.all("neg")):
            continue
        if one.last <= mark.first and mark.first - one.last <= 3:
            near.append((mark.first - one.last, quantity))
        elif 0 <= one.first - mark.last <= 3 and message.words[one.first] in _TRAILING:
            near.append((one.first - mark.last + 1, quantity))
    for one, quantity in clause.all("spread"):
        if one.first >= mark.last:
            near.append((1, quantity))
    for amount in clause.amounts:
        if any(neg.first <= amount.first < neg.last for neg, _ in clause.all("neg")):
            # "Not one bubble" counts none.
            continue
        between = message.words[amount.last : mark.first]
        linked = any(
            category == "head"
            for at in range(amount.last, mark.first)
            for category, _ in message.single[at]
        )
        if (
            amount.kind == "bare"
            and not amount.part
            and mark.first >= amount.last
            and len(between) <= 1
            and not linked
        ):
            if amount.value == 0:
                return "none"
            near.append(
                (0, "few" if amount.value <= 6 else "some" if amount.value < 20 else "many")
            )
    near.sort()
    quantity = near[0][1] if near else ("many" if meaning == "many" else "some")
    if clause.denied(mark) and not (quantity == "few" and near):
        return (
            "few"
            if quantity == "many"
            and near
            and message.words[mark.first - 1] in ("many", "much", "of")
            else "none"
        )
    return cast("Bubbles", quantity)
