"""What a clause claims of a sign, and how several claims of one message are settled into one value."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Generic, TypeVar

from bot.reading.amounts import Amount
from bot.reading.clauses import Clause
from bot.reading.marks import Mark

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)


@dataclass(frozen=True, slots=True)
class Claim(Generic[T_co]):
    """A value said over tokens ``first..last``; a higher ``weight`` outdoes a later, weaker one."""

    value: T_co
    age: int
    first: int
    last: int
    weight: int = 1


def claim(clause: Clause, place: Mark | Amount, value: T, weight: int = 1) -> Claim[T]:
    return Claim(value, clause.age, place.first, place.last, weight)


def latest(claims: Iterable[Claim[T]]) -> Claim[T] | None:
    """The claim that holds now: present before past, weighty before light, later before earlier."""
    best: Claim[T] | None = None
    for one in claims:
        if best is None or (-one.age, one.weight, one.first) >= (
            -best.age,
            best.weight,
            best.first,
        ):
            best = one
    return best
