"""The name of a jar, as a person types it and as it is kept."""

from __future__ import annotations

import unicodedata

LONGEST_NAME = 40
"""Letters."""

_QUOTES = "\"'\u201c\u201d\u2018\u2019 "
_STOPS = ".,;!"


def clean_name(text: str) -> str | None:
    """A jar's name as it will be kept: one line of plain text, ``LONGEST_NAME`` letters at most; None when empty.

    >>> clean_name('  "Ember" '), clean_name("\x00 ")
    ('Ember', None)
    """
    # Categories C are control, format and private letters: they could hide or turn what follows.
    shown = "".join(
        letter if letter == " " or unicodedata.category(letter)[0] not in "CZ" else " "
        for letter in text
    )
    name = " ".join(shown.split()).lstrip(_QUOTES).rstrip(_QUOTES + _STOPS)
    return name[:LONGEST_NAME].rstrip(_QUOTES + _STOPS) or None
