"""Messages a second, and quantities and times read right, beside two general libraries.

``python -m tests.benchmarks.reading_speed`` prints one JSON object a reader, on one core and the same
messages: this reader, quantulum3 (quantities) and dateparser's search (times), which are what one would
reach for, and the two of them together. They come with the extra ``bench``.

A quantity is right when a temperature of the message is found (0.6 degrees), or a mass in grams; a time
when the moment of a feed is found within the label's tolerance. What a reader finds besides is not
counted against it here, so the comparison favours the two.
"""

from __future__ import annotations

import json
import sys
import time
import warnings
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

from bot.culture.quantities import Range
from bot.culture.vocabulary import Fed, Started
from bot.reading.reader import read

sys.path.insert(0, str(Path(__file__).parents[1] / "reading"))

from scoring import load

HERE = Path(__file__).parents[1] / "reading"
Case = dict[str, Any]


def main() -> None:
    """Print a line for each reader, then how many times as quick this one is as the two together."""
    warnings.simplefilter("ignore")
    cases = [*load(HERE / "open.jsonl"), *(one for file in sorted((HERE / "corpus").glob("*.jsonl")) for one in load(file))]  # fmt: skip
    ours = rate(cases, lambda case: read(case["text"], at=_at(case), units=case["units"]))
    quantities = rate(cases, lambda case: quantulum(case["text"]))
    times = rate(cases, dates)
    both = 1 / (1 / quantities + 1 / times)
    report(
        "this reader", ours, quantities_right(cases, our_quantities), times_right(cases, our_times)
    )
    report("quantulum3", quantities, quantities_right(cases, their_quantities), None)
    report("dateparser.search", times, None, times_right(cases, dates))
    report("the two together", both, None, None)
    print(json.dumps({"times_as_quick_as_the_two": round(ours / both, 1)}))


def report(
    name: str, rate_per_s: float, quantities: tuple[int, int] | None, times: tuple[int, int] | None
) -> None:
    line: dict[str, object] = {"reader": name, "messages_per_s": round(rate_per_s)}
    if quantities:
        line["quantities"] = {"right": quantities[0], "of": quantities[1]}
    if times:
        line["times"] = {"right": times[0], "of": times[1]}
    print(json.dumps(line))


def rate(cases: list[Case], work: Callable[[Case], object]) -> float:
    """Messages a second of processor time, as it goes on: every second message warms the reader.

    All three put off work to their first messages (tables, patterns); none is timed on a message that
    it has met.
    """
    for case in cases[::2]:
        work(case)
    met = {case["text"] for case in cases[::2]}
    timed = [case for case in cases[1::2] if case["text"] not in met]
    start = time.process_time()
    for case in timed:
        work(case)
    return len(timed) / (time.process_time() - start)


def _at(case: Case) -> datetime:
    return datetime.fromisoformat(case["at"])


def quantities_right(
    cases: list[Case], found: Callable[[Case], list[tuple[str, float]]]
) -> tuple[int, int]:
    right = total = 0
    for case in cases:
        got = found(case)
        for kind, low, high in wanted_quantities(case):
            total += 1
            right += any(kind == one and low <= value <= high for one, value in got)
    return right, total


def wanted_quantities(case: Case) -> Iterator[tuple[str, float, float]]:
    told = case["expect"]["signs"].get("temperature")
    if told:
        low, high = told.get("low", told["celsius"]), told.get("high", told["celsius"])
        yield "celsius", low - 0.6, high + 0.6
    for act in case["expect"]["acts"]:
        for name in ("starter_g", "flour_g", "water_g", "grams"):
            mass = act.get(name)
            if isinstance(mass, int | float):
                yield "gram", mass * 0.97, mass * 1.03


def times_right(cases: list[Case], found: Callable[[Case], list[datetime]]) -> tuple[int, int]:
    right = total = 0
    for case in cases:
        wanted = [(one["at"], one.get("tolerance_min", 15)) for one in case["expect"]["acts"] if isinstance(one.get("at"), str)]  # fmt: skip
        if not wanted:
            continue
        got = found(case)
        for moment, minutes in wanted:
            total += 1
            told = datetime.fromisoformat(moment)
            right += any(abs((one - told).total_seconds()) <= minutes * 60 for one in got)
    return right, total


def our_quantities(case: Case) -> list[tuple[str, float]]:
    reading = read(case["text"], at=_at(case), units=case["units"])
    found: list[tuple[str, float]] = []
    if reading.signs.temperature:
        found.append(("celsius", reading.signs.temperature.celsius))
    for act in reading.acts:
        for name in ("starter_g", "flour_g", "water_g", "grams"):
            mass = getattr(act, name, None)
            if isinstance(mass, Range):
                found.append(("gram", mass.middle))
    return found


def our_times(case: Case) -> list[datetime]:
    acts = read(case["text"], at=_at(case), units=case["units"]).acts
    return [act.at for act in acts if isinstance(act, Fed | Started) and act.at is not None]


def quantulum(text: str) -> list[Any]:
    from quantulum3 import parser

    try:
        return list(parser.parse(text))
    except Exception:  # noqa: BLE001 - what the library cannot read is nothing found
        return []


def their_quantities(case: Case) -> list[tuple[str, float]]:
    found: list[tuple[str, float]] = []
    for one in quantulum(case["text"]):
        match one.unit.name:
            case "degree celsius":
                found.append(("celsius", one.value))
            case "degree fahrenheit":
                found.append(("celsius", (one.value - 32) * 5 / 9))
            case "gram":
                found.append(("gram", one.value))
            case "kilogram":
                found.append(("gram", one.value * 1000))
            case "ounce" | "pound-mass" | "ounce-mass":
                found.append(("gram", one.value * (28.35 if "ounce" in one.unit.name else 453.6)))
            case _:
                pass
    return found


def dates(case: Case) -> list[datetime]:
    from dateparser.search import search_dates

    at = _at(case)
    options = {"RELATIVE_BASE": at.replace(tzinfo=None), "PREFER_DATES_FROM": "past"}
    try:
        found = search_dates(case["text"], languages=["en"], settings=options) or []
    except Exception:  # noqa: BLE001 - what the library cannot read is nothing found
        return []
    return [one if one.tzinfo else one.replace(tzinfo=at.tzinfo) for _, one in found]


if __name__ == "__main__":
    main()
