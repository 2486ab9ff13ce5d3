"""The fact sheet's tables, copied beside the tests: each row names its own standing in ``status``."""

from __future__ import annotations

import csv
from pathlib import Path

FACTS = Path(__file__).parent / "facts"


def rows(name: str) -> list[dict[str, str]]:
    with (FACTS / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def parts(ratio: str) -> tuple[float, float, float]:
    """ "1:2:2" as numbers."""
    starter, flour, water = (float(part) for part in ratio.split(":"))
    return (starter, flour, water)
