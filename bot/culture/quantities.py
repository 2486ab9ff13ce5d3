"""The one type for a number that is not exactly known."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Range:
    """A closed interval ``low..high`` of one quantity; ``low == high`` is an exact value.

    The unit is that of the field which holds it (``flour_g`` is grams). Raises ValueError for an
    interval that is upside down or not finite.

    >>> Range.exact(50.0).middle
    50.0
    >>> Range(60.0, 65.0).is_exact
    False
    """

    low: float
    high: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.low) and math.isfinite(self.high)) or self.low > self.high:
            raise ValueError(f"not a range: {self.low}..{self.high}")

    @classmethod
    def exact(cls, value: float) -> Range:
        return cls(value, value)

    @property
    def middle(self) -> float:
        return (self.low + self.high) / 2

    @property
    def is_exact(self) -> bool:
        return self.low == self.high

    def scaled(self, factor: float) -> Range:
        """The same interval times a factor that is not negative."""
        return Range(self.low * factor, self.high * factor)
