"""Which words of a message belong to which culture, when it speaks of several by name."""

from __future__ import annotations

import re
from itertools import pairwise

_PART = re.compile(r"[.!?;,\n]+(?=\s|$)|\s(?:and|but|while|whereas)\s", re.IGNORECASE)


def words_about(text: str, name: str, names: tuple[str, ...]) -> str:
    """The parts of ``text`` that speak of ``name``: from its naming to the next other name.

    What stands before the first name is about all of them. Total.

    >>> words_about("Ada doubled, smells great. Bea is pink", "Ada", ("Ada", "Bea"))
    'Ada doubled, smells great. '
    """
    kept = ""
    about: frozenset[str] = frozenset()
    for part in _parts(text):
        named = frozenset(one for one in names if _names(part, one))
        about = named or about
        if not about or name in about:
            kept += part
    return kept


def _parts(text: str) -> list[str]:
    ends = [0, *(found.end() for found in _PART.finditer(text)), len(text)]
    return [text[low:high] for low, high in pairwise(ends) if low < high]


def _names(part: str, name: str) -> bool:
    return re.search(rf"(?<!\w){re.escape(name)}(?!\w)", part, re.IGNORECASE) is not None
