"""Trouble to order: what the wire does instead of, or after, answering."""

from __future__ import annotations

from collections import defaultdict, deque
from dataclasses import dataclass
from typing import TypeAlias

from tests.bot_api.refusals import Refusal


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """Answers with this, as it is."""

    status: int = 200
    body: bytes = b""
    done: bool = False
    """The method was carried out all the same."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Resets:
    """Closes the connection hard, without an answer."""

    done: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CutsOff:
    """Begins the answer and closes in the middle of it; ``honest``: says how long it would be."""

    honest: bool = True
    done: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Hangs:
    """Never answers, until the client goes away."""

    done: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Drips:
    """Answers one byte at a time."""

    every_s: float
    done: bool = True


Fault: TypeAlias = Answers | Resets | CutsOff | Hangs | Drips | Refusal


class Faults:
    """Which call meets which trouble."""

    def __init__(self) -> None:
        self._next: dict[str, deque[Fault | None]] = defaultdict(deque)
        self._always: dict[str, Fault] = {}
        self._away: Fault | None = None
        self.count = 0

    def next(self, method: str, *faults: Fault | None) -> None:
        """The next calls of ``method`` meet these, one each; None lets one pass."""
        self._next[method.lower()].extend(faults)

    def always(self, method: str, fault: Fault | None) -> None:
        """Every call of ``method`` meets it from now on; None: no more."""
        self._always.pop(method.lower(), None)
        if fault is not None:
            self._always[method.lower()] = fault

    def away(self, fault: Fault | None) -> None:
        """Every call of any method meets it from now on; None: the service is back."""
        self._away = fault

    def take(self, method: str) -> Fault | None:
        waiting = self._next[method.lower()]
        fault = waiting.popleft() if waiting else self._always.get(method.lower(), self._away)
        self.count += fault is not None
        return fault
