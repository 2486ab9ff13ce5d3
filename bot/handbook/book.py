"""The handbook's data files, read whole. What reads and parses them is imported when first needed:
it would take a third of the culture room's import."""

from __future__ import annotations

from typing import Any

from bot.errors import HandbookError


def table(name: str) -> dict[str, Any]:
    """The TOML table in that file of the handbook. Raises HandbookError when it is not TOML."""
    import tomllib
    from importlib import resources

    text = (resources.files("bot.handbook") / name).read_text(encoding="utf-8")
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as wrong:
        raise HandbookError(f"{name}: {wrong}") from wrong
