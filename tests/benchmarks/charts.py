"""How long a week's picture takes, printed as JSON: ``python -m tests.benchmarks.charts``.

``cold_ms`` is the first picture of a process, imports included; the others are the median and the
worst of repeated pictures: making the chart from the journal, painting it, and both. ``cpu_ms`` is the
work of both, which other programs on the machine do not stretch.
"""

from __future__ import annotations

import json
import sys
import time
from statistics import median

from bot.voice.chart import Chart
from bot.voice.week_chart import week_chart
from tests.charts.weeks import Kitchen, first_week, grown_week, year

LIMIT_MS = 400.0
"""The issue's limit for a warm picture."""


def main() -> None:
    """Print one object for each week."""
    started = time.perf_counter()
    paint_once(chart_of(first_week(), 7, "18:00"))
    print(json.dumps({"week": "first", "cold_ms": since(started)}))
    for name, kitchen, day, clock in (
        ("first", first_week(), 7, "18:00"),
        ("grown", grown_week(), 30, "21:30"),
        ("a year of daily reports", year(), 365, "21:30"),
    ):
        print(json.dumps({"week": name, **measured(kitchen, day, clock, rounds=15)}))


def measured(kitchen: Kitchen, day: int, clock: str, *, rounds: int) -> dict[str, float]:
    """Milliseconds: median and worst of ``rounds`` charts made and painted."""
    made, painted, worked, size = [], [], [], 0
    dossier, at = kitchen.dossier, kitchen.at(day, clock)
    for _ in range(rounds):
        cpu = time.process_time()
        started = time.perf_counter()
        chart = week_chart(dossier, dossier.cultures[0], at)
        made.append(since(started))
        started = time.perf_counter()
        size = paint_once(chart)
        painted.append(since(started))
        worked.append(round((time.process_time() - cpu) * 1000, 1))
    both = [one + other for one, other in zip(made, painted, strict=True)]
    return {
        "made_ms": median(made),
        "painted_ms": median(painted),
        "both_ms": round(median(both), 1),
        "worst_ms": round(max(both), 1),
        "cpu_ms": median(worked),
        "png_kb": round(size / 1024, 1),
    }


def chart_of(kitchen: Kitchen, day: int, clock: str) -> Chart:
    dossier = kitchen.dossier
    return week_chart(dossier, dossier.cultures[0], kitchen.at(day, clock))


def paint_once(chart: Chart) -> int:
    from bot.charts.paint import paint

    return len(paint(chart))


def since(started: float) -> float:
    return round((time.perf_counter() - started) * 1000, 1)


if __name__ == "__main__":
    sys.exit(main())
