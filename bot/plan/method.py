"""A method: the days from an empty jar to a culture, as data that a baker can read and change."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class MethodDay:
    """One day of a method. Masses in grams; ``keep_g`` is carried over into a clean jar."""

    day: int
    phase: str
    keep_g: float
    keep_words: str
    """What is carried over in kitchen words ("two heaping tablespoons"); empty on day 1."""
    flour_g: float
    water_g: float
    rise_low: float
    rise_high: float
    """The height ratio to be expected in a kitchen of about 21-25 °C."""
    look_for: str
    normal: str
    note: str
    discard_is_food: bool

    @property
    def total_g(self) -> float:
        return self.keep_g + self.flour_g + self.water_g


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    id: str
    name: str
    about: str
    jar_ml: float
    """A jar that holds it at three times its height with a quarter to spare."""
    days: tuple[MethodDay, ...]
    onward: MethodDay

    def on(self, day: int) -> MethodDay:
        """What that day asks; after the last written day the method goes on alike."""
        for written in self.days:
            if written.day == day:
                return written
        return self.onward


def method(method_id: str) -> Method:
    """The method of that id. Raises HandbookError, naming file and key, when it cannot be read."""
    raise NotImplementedError


def method_ids() -> tuple[str, ...]:
    """Every method in the handbook, the usual one first."""
    raise NotImplementedError
