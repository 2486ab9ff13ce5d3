"""Random histories and the laws that hold for every reply in them.

``python -m tests.advice.laws 10000`` runs as many as it is told and prints what it measured.
"""

from __future__ import annotations

import random
import statistics
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from bot.coach import hear
from bot.culture.fold import extend
from bot.culture.journal import (
    Began,
    Entry,
    Event,
    FlourSet,
    KitchenSet,
    MorningsSet,
    UnitsSet,
    ZoneSet,
)
from bot.culture.outcomes import outcomes
from bot.culture.readiness import standing
from bot.culture.state import Culture, Dossier
from bot.reading.reader import read
from bot.reading.reading import Reading
from bot.turn import Said

LONGEST = 1200
MEDIAN = 500
ZONE = ZoneInfo("Europe/Oslo")
STARTED = datetime(2026, 3, 2, 8, 0, tzinfo=ZONE)

DANGERS = (
    "green fuzz on top", "pink streak on the side", "theres an orange spot", "mould on it",
    "a fly drowned in it", "smells like rotten meat", "red stain in the middle", "furry grey patch",
    "maggots in the flour", "fuzzy white spots", "smells of sewage",
)  # fmt: skip
CALM = (
    "doubled in {h} hours", "up by half in {h} hours", "tripled", "no rise", "no bubbles", "few bubbles",
    "lots of bubbles", "smells sour", "smells of beer", "smells like nail varnish", "smells of cheese",
    "smells of yoghurt", "grey liquid on top", "water at the bottom", "its runny", "thick and lumpy",
    "domed top", "it has sunk", "it floats", "it sank in water", "dry crust on top", "kitchen is {c}C",
    "flat white film on top", "black liquid on top", "brown specks all over", "fed it 1:1:1",
    "fed 50g flour 50g water", "forgot to feed it", "skipped 3 days", "put it in the fridge",
    "took it out of the fridge", "stirred it", "discarded half", "no mould", "nothing pink",
    "used a metal spoon", "added honey", "overflowed", "i threw some away",
)  # fmt: skip
ASKED = (
    "is this normal?", "what now?", "is it dead?", "can i bake?", "is it ready?", "keep or throw?",
    "why is it slow", "how much do i feed it?", "which flour?", "is tap water ok?", "never mind",
    "lol jk", "thanks!", "", "", "", "",
)  # fmt: skip
STEPS = (
    "feed", "carry on", "wait", "look", "throw", "ring", "tell", "keep", "use", "put", "stir", "pour",
    "take", "ask", "mark", "needed", "lay", "wash", "let", "give", "move", "write", "go on", "open",
    "bake", "try", "leave", "count", "smell", "thaw", "loosen", "begin", "hold", "aim",
)  # fmt: skip


@dataclass
class Measured:
    """What a run came to."""

    replies: int = 0
    lengths: list[int] = field(default_factory=list)
    verdicts: Counter[str | None] = field(default_factory=Counter)
    broken: list[str] = field(default_factory=list)


def run(histories: int, seed: int = 1) -> Measured:
    """Play that many random histories and hold every reply to the laws."""
    dice = random.Random(seed)
    found = Measured()
    for number in range(histories):
        for broken in _play(dice, found):
            found.broken.append(f"history {number}: {broken}")
    return found


def _play(dice: random.Random, found: Measured) -> Iterator[str]:
    dossier = extend(Dossier(person_key="law"), _set_up(dice))
    at = STARTED + timedelta(hours=dice.randint(1, 12))
    for turn_number in range(dice.randint(1, 6)):
        at += timedelta(hours=dice.choice((3, 9, 22, 24, 26, 48, 120)))
        text = _message(dice)
        turn = hear(dossier, Said(text=text, at=at, message=f"m{turn_number}"))
        units = dossier.person.units or "metric"
        reading = read(text, at=at, units=units)
        dossier = extend(dossier, turn.entries)
        reply = "\n".join(message.plain for message in turn.messages)
        verdict = next((m.verdict for m in reversed(turn.messages) if m.verdict), None)
        found.replies += 1
        found.lengths.append(len(reply))
        found.verdicts[verdict] += 1
        jar = dossier.cultures[0] if dossier.cultures else None
        day = (at.date() - STARTED.date()).days + 1
        for law in _broken(reading, reply, verdict, jar, day):
            yield f"{law}: {text!r} on day {day} -> {verdict}: {reply[:200]!r}"


def _broken(
    reading: Reading, reply: str, verdict: str | None, jar: Culture | None, day: int
) -> Iterator[str]:
    if is_danger(reading, day) and verdict not in ("discard", "ask"):
        yield "a danger sign must end in discard or ask"
    if verdict == "ready" and (day < 7 or jar is None or _full_rises(jar) < 2):
        yield "ready before the gate"
    if len(reply) > LONGEST:
        yield f"{len(reply)} letters"
    if not reply.strip() or not any(step in reply.lower() for step in STEPS):
        yield "no next step"


def is_danger(reading: Reading, day: int) -> bool:
    """A danger sign (S-01 to S-04): mould, a colour, pests, or rotten after day 4."""
    signs = reading.signs
    rotten = "rotten" in signs.smell and day >= 5
    return bool(signs.mould or signs.streak or signs.pests or rotten)


def _full_rises(jar: Culture) -> int:
    return sum(standing(outcome) == "full" for outcome in outcomes(jar))


def _message(dice: random.Random) -> str:
    parts = dice.sample(CALM, dice.randint(0, 3))
    if dice.random() < 0.15:
        parts.insert(dice.randint(0, len(parts)), dice.choice(DANGERS))
    parts.append(dice.choice(ASKED))
    text = ", ".join(part for part in parts if part)
    text = text.replace("{h}", str(dice.randint(3, 16))).replace("{c}", str(dice.randint(12, 34)))
    if dice.random() < 0.1 and len(text) > 6:
        cut = dice.randint(1, len(text) - 2)
        text = text[:cut] + text[cut + 1] + text[cut] + text[cut + 2 :]
    return text


def _set_up(dice: random.Random) -> list[Entry]:
    if dice.random() < 0.1:
        return []
    flour = dice.choice(("white", "wholewheat", "rye", "bread"))
    events: list[tuple[Event, str | None]] = [
        (ZoneSet(zone="Europe/Oslo"), None),
        (UnitsSet(units=dice.choice(("metric", "us"))), None),
        (KitchenSet(celsius=dice.choice((None, 15, 18, 21, 24, 27, 31))), None),
        (FlourSet(flour=flour), None),  # type: ignore[arg-type]
        (MorningsSet(at=time(8)), None),
        (Began(name="Biscuit", flour=flour, method="full", started_at=STARTED), "c1"),  # type: ignore[arg-type]
    ]
    return [
        Entry(number=number, at=STARTED, event=event, culture=culture)
        for number, (event, culture) in enumerate(events, 1)
    ]


if __name__ == "__main__":
    measured = run(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1)
    print(f"{measured.replies} replies, median {statistics.median(measured.lengths):.0f} letters")
    print(f"longest {max(measured.lengths)}; verdicts {dict(measured.verdicts)}")
    print(f"{len(measured.broken)} laws broken")
    for line in measured.broken[:40]:
        print(line)
