"""How long the culture's arithmetic takes, printed as JSON: ``python -m tests.benchmarks.culture``.

Microseconds of this process's own work, the median and the best of many rounds, so that other programs
on the machine do not stretch them; ``import_ms`` is the culture room's import in a fresh interpreter.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from statistics import median

from bot.culture.curve import Feeding
from bot.culture.growth import yeast_per_h
from bot.culture.looking import Observation, When
from bot.culture.rise import forecast
from bot.culture.vigour import learn
from bot.plan.bake import BakeWish, plan_bake
from bot.plan.timeline import Kitchen

IMPORT_LIMIT_MS = 60.0
"""The issue's limit."""
ROOM = (
    "growth", "curve", "rise", "vigour", "phases", "outcomes", "readiness", "feeds", "measures", "jar",
    "keeping", "water",
)  # fmt: skip
_IMPORT = (
    "import time; began = time.process_time()\n"
    + "\n".join(f"import bot.culture.{name}" for name in ROOM)
    + "\nprint((time.process_time() - began) * 1000)"
)

FEEDING = Feeding(ratio=(1.0, 2.0, 2.0), celsius=21.0)
SATURDAY = datetime(2026, 3, 7, 9, 0, tzinfo=UTC)


def main() -> None:
    """Print one object."""
    figures: dict[str, object] = {
        "import_ms": import_ms(),
        "import_limit_ms": IMPORT_LIMIT_MS,
        "growth_us": micros(lambda: yeast_per_h(21.0), 2000),
        "rise_us": micros(lambda: forecast(FEEDING, belief), 40),
        "update_30_reports_us": micros(lambda: learn(reports), 20),
        "bake_plan_us": micros(lambda: plan_bake(wish(50.0)), 40),
        "bake_plan_two_builds_us": micros(lambda: plan_bake(wish(2.0)), 40),
        "bake_that_cannot_be_us": micros(lambda: plan_bake(too_soon), 20),
    }
    print(json.dumps(figures, indent=1))


def thirty() -> list[Observation]:
    """Reports as people give them: moments, "by" and "not yet", in a kitchen that warms and cools."""
    whens: tuple[When, ...] = ("at", "by", "not-by")
    hours = {"at": 6.0, "by": 9.0, "not-by": 4.0}
    found = []
    for number in range(30):
        when = whens[number % 3]
        feeding = Feeding(ratio=(1.0, 2.0, 2.0), celsius=20.0 + 0.1 * number)
        found.append(Observation(feeding=feeding, rise=2.0, hours=hours[when], when=when))
    return found


def wish(have_g: float, ahead: timedelta = timedelta(days=3)) -> BakeWish:
    return BakeWish(
        ripe_at=SATURDAY,
        levain_g=200.0,
        have_g=have_g,
        earliest=SATURDAY - ahead,
        kitchen=Kitchen(celsius=22.0, night_c=18.0),
    )


def import_ms(rounds: int = 7) -> float:
    """The best of some fresh interpreters, in milliseconds of processor time."""
    runs = (
        subprocess.run([sys.executable, "-c", _IMPORT], capture_output=True, text=True, check=True)
        for _ in range(rounds)
    )
    return round(min(float(run.stdout) for run in runs), 1)


def micros(act: Callable[[], object], rounds: int) -> dict[str, float]:
    act()
    spans = []
    for _ in range(rounds):
        began = time.process_time_ns()
        act()
        spans.append((time.process_time_ns() - began) / 1000)
    return {"median": round(median(spans), 1), "best": round(min(spans), 1)}


reports = thirty()
belief = learn(reports)
too_soon = wish(50.0, timedelta(hours=2))

if __name__ == "__main__":
    main()
