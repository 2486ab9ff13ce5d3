"""Dossiers at hand, for as long as they are what the database holds."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock

from bot.culture.state import Dossier


class Shelf:
    """Dossiers at hand, so that an unchanged journal is neither read nor folded again.

    Safe because a journal only grows: a dossier is valid for the version it was loaded with. Holds
    ``most`` entries in all; the person not heard of for longest goes first.
    """

    def __init__(self, most: int = 20_000) -> None:
        self._most = most
        self._held = 0
        self._dossiers: OrderedDict[str, tuple[int, Dossier]] = OrderedDict()
        self._lock = Lock()  # SQLite loads on a thread of its own

    def get(self, person: str, version: int) -> Dossier | None:
        with self._lock:
            held = self._dossiers.get(person)
            if held is None or held[0] != version:
                return None
            self._dossiers.move_to_end(person)
            return held[1]

    def put(self, person: str, version: int, dossier: Dossier) -> None:
        with self._lock:
            self._put(person, version, dossier)

    def _put(self, person: str, version: int, dossier: Dossier) -> None:
        before = self._dossiers.pop(person, None)
        if before is not None:
            if before[0] > version:  # an older load that finished late
                version, dossier = before
            self._held -= _weight(before[1])
        self._dossiers[person] = (version, dossier)
        self._held += _weight(dossier)
        while self._held > self._most and len(self._dossiers) > 1:
            _, (_, gone) = self._dossiers.popitem(last=False)
            self._held -= _weight(gone)


def _weight(dossier: Dossier) -> int:
    return len(dossier.journal) + 1
