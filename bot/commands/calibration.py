"""``jarside calibration``: how often the forecast's 80 % holds the truth, over many invented kitchens."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import TextIO

from bot.commands.kitchens import Fact, Kitchen, feed, kitchen, report
from bot.culture.rise import share_by
from bot.culture.vigour import Vigour, learn

AFTER = (0, 1, 2, 5, 10, 30)
"""After how many reports the forecast is asked."""
QUANTITIES = ("vigour", "double_h", "peak_h")
LEVELS = tuple(share / 20.0 for share in range(1, 20))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """Where the truth lay in the forecasts: the share of the belief below it, and the 80 % widths."""

    reports: int
    quantity: str
    places: tuple[float, ...]
    widths: tuple[float, ...]

    def coverage(self, nominal: float = 0.8) -> float:
        """The share of truths inside the central ``nominal`` of their forecast."""
        inside = sum(abs(place - 0.5) <= nominal / 2.0 for place in self.places)
        return inside / len(self.places)

    @property
    def width(self) -> float:
        """The mean of high over low, in the logarithm."""
        return math.fsum(self.widths) / len(self.widths) if self.widths else 0.0


def measure(kitchens: int, seed: int = 1) -> tuple[Tally, ...]:
    """Simulate so many kitchens, report by report, and see where each truth lies."""
    places: dict[tuple[int, str], list[float]] = {
        (reports, name): [] for reports in AFTER for name in QUANTITIES
    }
    widths: dict[tuple[int, str], list[float]] = {key: [] for key in places}
    for number in range(kitchens):
        chance = Random(seed * 1_000_003 + number)  # noqa: S311  seeded, no secret
        truth = kitchen(chance)
        told = [report(truth, chance) for _ in range(AFTER[-1])]
        following = feed(truth, chance)
        for reports in AFTER:
            belief = learn(told[:reports])
            _note(places, widths, reports, belief, truth, following)
    return tuple(
        Tally(
            reports=reports,
            quantity=name,
            places=tuple(places[reports, name]),
            widths=tuple(widths[reports, name]),
        )
        for name in QUANTITIES
        for reports in AFTER
    )


def run(stdout: TextIO, *, kitchens: int = 2000, seed: int = 1, picture: Path | None = None) -> int:
    """Print the table; paint coverage against nominal when asked. Returns 0 within 77..83 %, else 1."""
    tallies = measure(kitchens, seed)
    stdout.write(
        f"{kitchens} invented kitchens, seed {seed}: how often the 80 % interval holds the truth.\n"
        f"One standard error of a figure is {100 * math.sqrt(0.16 / kitchens):.1f} points.\n\n"
        f"{'after reports':>13} "
        + " ".join(f"{name:>10}" for name in QUANTITIES)
        + "   vigour's width\n"
    )
    for reports in AFTER:
        row = [tally for tally in tallies if tally.reports == reports]
        figures = " ".join(f"{100 * tally.coverage():8.1f} %" for tally in row)
        stdout.write(f"{reports:13d} {figures}   x{math.exp(row[0].width):.2f}\n")
    whole = [tally.coverage() for tally in tallies]
    stdout.write(
        f"\nall together {100 * sum(whole) / len(whole):.1f} %,"
        f" lowest {100 * min(whole):.1f} %, highest {100 * max(whole):.1f} %\n"
    )
    if picture is not None:
        paint(tallies, kitchens, picture)
        stdout.write(f"picture: {picture}\n")
    return 0 if min(whole) >= 0.77 and max(whole) <= 0.83 else 1


def paint(tallies: Sequence[Tally], kitchens: int, path: Path) -> None:
    """Coverage against nominal, one panel a quantity; the diagonal is a perfect forecast."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(9.0, 3.4), dpi=110, layout="constrained")
    canvas = FigureCanvasAgg(figure)
    panels = figure.subplots(1, len(QUANTITIES), sharex=True, sharey=True)
    for panel, name in zip(panels, QUANTITIES, strict=True):
        panel.plot([0, 100], [0, 100], color="0.6", linewidth=1)
        for tally in (one for one in tallies if one.quantity == name):
            panel.plot(
                [100 * level for level in LEVELS],
                [100 * tally.coverage(level) for level in LEVELS],
                marker=".",
                linewidth=1,
                label=f"{tally.reports} reports",
            )
        panel.axvline(80, color="0.8", linewidth=1, zorder=0)
        panel.set_title(name)
        panel.set_xlabel("nominal, %")
        panel.set_aspect("equal")
    panels[0].set_ylabel(f"truth inside, % of {kitchens} kitchens")
    panels[-1].legend(fontsize=7, loc="upper left")
    canvas.print_figure(path)


def _note(
    places: dict[tuple[int, str], list[float]],
    widths: dict[tuple[int, str], list[float]],
    reports: int,
    belief: Vigour,
    truth: Kitchen,
    following: Fact,
) -> None:
    places[reports, "vigour"].append(belief.share_below(truth.vigour))
    spread = belief.spread
    widths[reports, "vigour"].append(math.log(spread.high / spread.low))
    feeding = following.feeding
    places[reports, "peak_h"].append(share_by(feeding, following.peak_h, belief, rise=None))
    if following.double_h is not None:
        places[reports, "double_h"].append(
            share_by(feeding, following.double_h, belief, rise=feeding.mark)
        )
