"""A wish inside a longer message: "pause until friday please, visitors", "fed it. mornings at 7".

Only wishes that can hardly be anything else are taken out of a sentence's company.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime
from itertools import pairwise

from bot.reading.wanted import Away, InZone, MorningsAt, Pause, Wish
from bot.reading.wishes import FindZone, wish

LONGEST = 400
"""Letters: whatever is longer is a story."""

_SENTENCES = re.compile(r"[^.!?;\n]+(?:\.(?=\d)[^.!?;\n]+)*[.!?;\n]*")
_PAUSE = re.compile(
    r",|\s+(?:because|cause|cos|since|as|and|but)\s+|\s[-\u2013\u2014]\s", re.IGNORECASE
)


def wish_within(text: str, at: datetime, find_zone: FindZone) -> tuple[Wish, str] | None:
    """The first plain wish among the sentences and clauses, and the message without it. Total."""
    if len(text) > LONGEST:
        return None
    for start, end in _pieces(text):
        found = wish(text[start:end].strip(" ,.;!?"), at, find_zone)
        if found is not None and _is_plain(found):
            rest = f"{text[:start]} {text[end:]}"
            return found, " ".join(rest.split()).strip(" ,")
    return None


def _pieces(text: str) -> Iterator[tuple[int, int]]:
    """Where each sentence lies, and then each clause of it."""
    for sentence in _SENTENCES.finditer(text):
        start, end = sentence.span()
        yield start, end
        cuts = [start, *(start + cut.start() for cut in _PAUSE.finditer(sentence[0])), end]
        if len(cuts) > 2:
            yield from pairwise(cuts)
            # "until friday, please" is one clause with its courtesy.
            yield from zip(cuts, cuts[2:], strict=False)


def _is_plain(found: Wish) -> bool:
    match found:
        case Pause(until=until) | Away(until=until):
            return until is not None
        case MorningsAt(at=at):
            return at is not None
        case InZone(zone=zone):
            return zone is not None
        case _:
            return False
