"""A page of the handbook: one TOML table, read strictly, so that a slip is named by file and key."""

from __future__ import annotations

import tomllib

from bot.errors import HandbookError


class Page:
    """One table and where it stands. Every key is taken once; ``done`` refuses what is left over."""

    def __init__(self, where: str, table: dict[str, object]) -> None:
        self.where = where
        self._left = dict(table)

    @classmethod
    def of(cls, where: str, text: str) -> Page:
        """The page that the TOML text of a whole file is. Raises HandbookError."""
        try:
            return cls(where, tomllib.loads(text))
        except tomllib.TOMLDecodeError as wrong:
            raise HandbookError(f"{where}: {wrong}") from wrong

    def text(self, key: str) -> str:
        """Words, which may be empty."""
        value = self._take(key)
        if not isinstance(value, str):
            raise self.fault(key, "wants words in quotes")
        return value.strip()

    def words(self, key: str) -> str:
        value = self.text(key)
        if not value:
            raise self.fault(key, "wants some words")
        return value

    def number(self, key: str, low: float, high: float) -> float:
        return self._number(key, self._take(key), low, high)

    def numbers(self, key: str, low: float, high: float) -> tuple[float, ...]:
        return tuple(self._number(key, item, low, high) for item in self._list(key))

    def page(self, key: str) -> Page:
        value = self._take(key)
        if not isinstance(value, dict):
            raise self.fault(key, f"wants a table [{key}]")
        return Page(f"{self.where}: {key}", value)

    def pages(self, key: str) -> tuple[Page, ...]:
        found = []
        for number, item in enumerate(self._list(key), 1):
            if not isinstance(item, dict):
                raise self.fault(key, f"wants tables [[{key}]]")
            found.append(Page(f"{self.where}: {key} {number}", item))
        return tuple(found)

    def done(self) -> None:
        """Raises HandbookError for a key that nobody asked for."""
        if self._left:
            raise self.fault(next(iter(self._left)), "there is no such key")

    def fault(self, key: str, why: str) -> HandbookError:
        return HandbookError(f"{self.where}: {key}: {why}")

    def _take(self, key: str) -> object:
        if key not in self._left:
            raise self.fault(key, "is missing")
        return self._left.pop(key)

    def _list(self, key: str) -> list[object]:
        value = self._take(key)
        if not isinstance(value, list) or not value:
            raise self.fault(key, "wants a list in brackets")
        return value

    def _number(self, key: str, value: object, low: float, high: float) -> float:
        if (
            isinstance(value, bool)
            or not isinstance(value, int | float)
            or not low <= value <= high
        ):
            raise self.fault(key, f"wants a number from {low:g} to {high:g}")
        return float(value)
