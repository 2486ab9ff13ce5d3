"""The door of the room: a message becomes a Reading, and never an error."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from bot.culture.vocabulary import Act, Signs, Units
from bot.reading import floating, hazards, liquids, looks, rises, smells, textures, waits, warmth
from bot.reading.acts import acts
from bot.reading.asks import asks
from bot.reading.claims import Claim
from bot.reading.clauses import Clause, Message
from bot.reading.corrections import corrects
from bot.reading.doubts import doubts
from bot.reading.lexicon import SIGN, Lexicon, lexicon
from bot.reading.marks import Mark, marks, mended
from bot.reading.moods import clauses
from bot.reading.naming import Named, mask, spread
from bot.reading.numbers import amounts
from bot.reading.reading import OtherCulture, Reading, Span
from bot.reading.text import tokens
from bot.reading.unread import is_foreign, unread


def read(text: str, *, at: datetime, units: Units, cultures: tuple[str, ...] = ()) -> Reading:
    """What ``text``, written at the aware moment ``at`` in the writer's own zone, says.

    ``units`` settles a bare number ("it's 72 in here"); ``cultures`` are the names of the writer's
    cultures: a message is about the first one it names. Total: any text reads.
    """
    words = lexicon()
    message, named = parse(text, words, cultures)
    if is_foreign(message, words):
        return Reading(unread=(text.strip(),))
    parts = clauses(message)
    about = spread(named, parts)
    subjects = list(dict.fromkeys(one.name for one in named))
    seen = [
        _jar(
            message,
            [one for one, names in zip(parts, about, strict=True) if name in names],
            at,
            units,
        )
        for name in subjects
    ] or [_jar(message, parts, at, units)]
    asked = asks(message, parts)
    own, spans, impossible = seen[0]
    spans = [*spans, *(Taken(one.first, one.last, f"ask.{ask}") for one, ask in asked if one)]
    return Reading(
        signs=own.signs,
        acts=own.acts,
        asks=tuple(ask for _, ask in asked),
        unread=unread(message, words),
        about=subjects[0] if subjects else None,
        others=tuple(
            OtherCulture(name=name, signs=one.signs, acts=one.acts)
            for name, (one, _, _) in zip(subjects[1:], seen[1:], strict=True)
        ),
        doubts=doubts(parts, own.signs, impossible),
        spans=tuple(_span(message, one) for one in sorted(spans)),
        corrects=corrects(message, parts),
    )


@dataclass(frozen=True, slots=True, order=True)
class Taken:
    """Tokens ``first..last`` (end excluded) that were taken for a slot."""

    first: int
    last: int
    slot: str


@dataclass(frozen=True, slots=True)
class Jar:
    """What a message says of one culture."""

    signs: Signs
    acts: tuple[Act, ...]


def _span(message: Message, taken: Taken) -> Span:
    return Span(message.tokens[taken.first].start, message.tokens[taken.last - 1].end, taken.slot)


def _jar(
    message: Message, parts: list[Clause], at: datetime, units: Units
) -> tuple[Jar, list[Taken], bool]:
    found, spans, impossible = _signs(message, parts, units)
    done = acts(message, parts, at)
    spans += [Taken(first, last, f"act.{act.act}") for first, last, act in done]
    return Jar(found, tuple(act for _, _, act in done)), spans, impossible


def parse(text: str, words: Lexicon, cultures: tuple[str, ...] = ()) -> tuple[Message, list[Named]]:
    """The message's tokens, phrases and amounts in one language, and the cultures it names."""
    found, named = mask(text, tokens(text, words.pictures), cultures, words)
    plain = mended(found, words)
    found_marks: list[Mark] = []
    starts: dict[str, Sequence[Mark | None]] = {}
    covered: set[int] = set()
    places: dict[str, dict[int, Mark]] = {}
    empty: Sequence[Mark | None] = [None] * len(found)
    for group, ones in marks(plain, words).items():
        if not ones:
            starts[group] = empty
            continue
        if group in (SIGN, "act", "quantity", "texture"):
            for one in ones:
                # "Didnt rise or bubble": there the denial goes on past the phrase.
                whole = one.last - one.first > 1 and plain[one.last : one.last + 1] != ["or"]
                covered.update(range(one.first, one.last) if whole else ())
        found_marks += ones
        for one in ones:
            for category, _ in one.senses:
                places.setdefault(category, {})[one.first] = one
        starts[group] = _starts(ones, len(found))
    # A negation inside a phrase of the kitchen ("hasnt moved", "not much") is that phrase's own.
    kept = [one for one in found_marks if one.first not in covered or not one.says("neg")]
    kept.sort(key=lambda one: one.first)
    message = Message(
        text=text,
        tokens=found,
        words=plain,
        marks=kept,
        starts=starts,
        single=[words.small.get(word, ()) for word in plain],
        places=places,
        amounts=amounts(found, plain, starts),
    )
    return message, named


def _starts(found: list[Mark], length: int) -> list[Mark | None]:
    starts: list[Mark | None] = [None] * length
    for one in found:
        starts[one.first] = one
    return starts


def _signs(message: Message, parts: list[Clause], units: Units) -> tuple[Signs, list[Taken], bool]:
    # Each is looked for only where a word of it stands: most messages tell of two or three.
    has = message.places.keys()
    tinted = "colour" in has
    mould = hazards.mould(message, parts) if tinted or "mould" in has or "blot" in has else []
    streak = hazards.streak(message, parts) if tinted else []
    pests = hazards.pests(message, parts) if "pest" in has else []
    film = hazards.film(message, parts) if tinted or "film" in has else []
    crust = list(textures.crust(message, parts)) if "crust" in has else []
    smell = smells.smells(message, parts) if "smell" in has or "smellcue" in has else []
    texture = textures.textures(message, parts) if "texture" in has else []
    rise = rises.rise(message, parts) if "rise" in has or message.amounts else None
    surface = looks.surface(message, parts) if "surface" in has else None
    bubbles = looks.bubbles(message, parts) if "bubble" in has else None
    liquid = liquids.liquid(message, parts) if "liquid" in has else None
    floats = floating.floats(message, parts) if "float" in has or "floattest" in has else None
    temperature, impossible = warmth.temperature(message, parts, units)
    told = bool(rise or surface or bubbles or smell or texture or liquid)
    hours = waits.hours(message, parts, told)
    found = Signs(
        rise=rise.value if rise else None,
        hours=round(hours.value, 2) if hours else None,
        surface=surface.value if surface else None,
        bubbles=bubbles.value if bubbles else None,
        temperature=temperature.value if temperature else None,
        smell=tuple(dict.fromkeys(one.value for one in smell)),
        liquid=liquid.value if liquid else None,
        mould=any(one.value for one in mould) if mould else None,
        streak=next((one.value for one in streak if one.value), False) if streak else None,
        film=any(one.value for one in film) if film else None,
        crust=any(one.value for one in crust) if crust else None,
        texture=tuple(one.value for one in texture),
        floats=floats.value if floats else None,
        pests=any(one.value for one in pests) if pests else None,
    )
    claims: list[tuple[str, Iterable[Claim[object]]]] = [
        ("rise", [rise] if rise else []),
        ("hours", [hours] if hours else []),
        ("surface", [surface] if surface else []),
        ("bubbles", [bubbles] if bubbles else []),
        ("temperature", [temperature] if temperature else []),
        ("smell", smell),
        ("liquid", [liquid] if liquid else []),
        ("mould", mould),
        ("streak", streak),
        ("film", film),
        ("crust", crust),
        ("texture", texture),
        ("floats", [floats] if floats else []),
        ("pests", pests),
    ]
    spans = [Taken(one.first, one.last, slot) for slot, ones in claims for one in ones]
    return found, spans, impossible
