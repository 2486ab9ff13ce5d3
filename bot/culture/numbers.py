"""The handbook's constants by section: each a number with its source beside it in ``numbers.toml``."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from bot.errors import HandbookError
from bot.handbook.book import table


def section(name: str) -> Mapping[str, float]:
    """The numbers of one section. Raises HandbookError for a file that is not as agreed."""
    return _sections()[name]


@cache
def sources() -> Mapping[tuple[str, str], str]:
    """Where each number comes from, by section and name."""
    return MappingProxyType(
        {
            (part, name): str(entry["source"])
            for part, entries in _file().items()
            for name, entry in entries.items()
        }
    )


@cache
def _sections() -> Mapping[str, Mapping[str, float]]:
    return MappingProxyType(
        {
            part: MappingProxyType(
                {name: float(str(entry["value"])) for name, entry in entries.items()}
            )
            for part, entries in _file().items()
        }
    )


@cache
def _file() -> Mapping[str, Mapping[str, Mapping[str, object]]]:
    parsed = table("numbers.toml")
    for part, entries in parsed.items():
        for name, entry in entries.items():
            match entry:
                case {"value": int() | float() as value, "source": str(source)} if (
                    math.isfinite(value) and source
                ):
                    pass
                case _:
                    raise HandbookError(
                        f"numbers.toml: {part}.{name} wants a value that is a number, and a source"
                    )
    return parsed
