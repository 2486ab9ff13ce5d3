"""Score the reader against labelled messages: per slot, per message, and for what is dangerous.

A line is ``{"id", "text", "at", "units", "expect", "tags"}``. In ``expect``: ``signs`` and ``acts``
must be read, ``signs_ok`` and ``acts_ok`` may be, ``alt`` lists other values as good as the first;
``asks`` are all the acceptable asks, ``asks_min`` those needed, ``asks_any`` a set of which one is.
Anything else that is read counts against the reader.

    python tests/reading/scoring.py FILE... [--show N]
"""

from __future__ import annotations

import json
import sys
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from bot.commands.read import reading_json
from bot.reading.reader import read

DANGERS = ("mould", "streak", "pests", "rotten")
_LISTS = ("smell", "texture")
_MASSES = ("starter_g", "flour_g", "water_g", "grams")
_MIX = ("at", "ratio", "starter_g", "flour_g", "water_g", "flours")
_FIELDS = {
    "fed": _MIX,
    "started": _MIX,
    "discarded": ("grams", "share"),
    "moved": ("to",),
    "skipped": ("feeds", "days"),
}

Json = dict[str, Any]


@dataclass
class Count:
    found: int = 0
    false: int = 0
    missed: int = 0

    def add(self, found: int, false: int, missed: int) -> None:
        self.found += found
        self.false += false
        self.missed += missed

    @property
    def precision(self) -> float:
        return self.found / (self.found + self.false) if self.found + self.false else 1.0

    @property
    def recall(self) -> float:
        return self.found / (self.found + self.missed) if self.found + self.missed else 1.0

    @property
    def f1(self) -> float:
        wrong = self.false + self.missed
        return 2 * self.found / (2 * self.found + wrong) if self.found + wrong else 1.0


@dataclass
class Score:
    """How a reader did: ``slots`` per kind of fact, ``danger`` over true dangers only."""

    messages: int = 0
    right: int = 0
    slots: dict[str, Count] = field(default_factory=lambda: defaultdict(Count))
    danger: Count = field(default_factory=Count)
    faults: list[tuple[str, str, list[str]]] = field(default_factory=list)

    @property
    def exact(self) -> float:
        return self.right / self.messages

    @property
    def total(self) -> Count:
        whole = Count()
        for one in self.slots.values():
            whole.add(one.found, one.false, one.missed)
        return whole


def load(path: Path) -> list[Json]:
    return [json.loads(line) for line in path.read_text(encoding="utf-8").split("\n") if line]


def score(cases: Iterable[Json]) -> Score:
    result = Score()
    for case in cases:
        at = datetime.fromisoformat(case["at"])
        names = tuple(case.get("cultures", ()))
        got = reading_json(read(case["text"], at=at, units=case["units"], cultures=names))
        faults = [*_signs(case, got, result), *_acts(case, got, result), *_asks(case, got, result)]
        result.messages += 1
        result.right += not faults
        if faults:
            result.faults.append((case["id"], case["text"], faults))
    return result


def _signs(case: Json, got: Json, result: Score) -> Iterator[str]:
    expect, signs = case["expect"], got["signs"]
    wanted, allowed, others = expect["signs"], expect.get("signs_ok", {}), expect.get("alt", {})
    for key in sorted(wanted.keys() | signs.keys()):
        have = signs.get(key)
        count = result.slots[key]
        if key in _LISTS:
            options = [set(one) for one in _values(key, wanted, others)] or [set()]
            free = {one for value in _values(key, allowed, others) for one in value}
            has = set(have or ())
            best = min(options, key=lambda one: len(one - has) + len(has - one - free))
            extra, lost = has - best - free, best - has
            count.add(len(best & has), len(extra), len(lost))
            if extra or lost:
                yield f"{key}: want {sorted(best)}, got {sorted(has)}"
        elif have is None:
            count.add(0, 0, 1)
            yield f"{key}: missing {wanted[key]}"
        elif key in wanted:
            right = any(_same_sign(key, one, have) for one in _values(key, wanted, others))
            count.add(right, not right, not right)
            if not right:
                yield f"{key}: want {wanted[key]}, got {have}"
        elif not any(_same_sign(key, one, have) for one in _values(key, allowed, others)):
            count.add(0, 1, 0)
            yield f"{key}: unasked {have}"
    want, may, has_now = _dangers(wanted), _dangers(allowed), _dangers(signs)
    for kind in DANGERS:
        found = kind in want and kind in has_now
        false = kind in has_now and kind not in want and kind not in may
        result.danger.add(found, false, kind in want and kind not in has_now)


def _values(key: str, named: Json, others: Json) -> list[Any]:
    return [named[key], *others.get(key, [])] if key in named else []


def _same_sign(key: str, gold: Any, have: Any) -> bool:
    match key:
        case "rise":
            return bool(gold["low"] - 0.005 <= have["ratio"] <= gold["high"] + 0.005)
        case "hours" if isinstance(gold, dict):
            return bool(gold["low"] * 0.99 <= have <= gold["high"] * 1.01)
        case "hours":
            return bool(abs(have - gold) <= 0.1 * gold + 1e-6)
        case "temperature":
            low, high = gold.get("low", gold["celsius"]), gold.get("high", gold["celsius"])
            placed = have["of"] in gold.get("of_alt", [gold["of"]])
            return bool(placed and low - 0.6 <= have["celsius"] <= high + 0.6)
        case _:
            return type(gold) is type(have) and bool(gold == have)


def _dangers(signs: Json) -> set[str]:
    found = {kind for kind in ("mould", "pests") if signs.get(kind) is True}
    if isinstance(signs.get("streak"), str):
        found.add("streak")
    if "rotten" in signs.get("smell", ()):
        found.add("rotten")
    return found


def _acts(case: Json, got: Json, result: Score) -> Iterator[str]:
    expect, acts = case["expect"], got["acts"]
    pairs, missed, spare = _paired(expect["acts"], acts)
    for gold, act, verdicts in pairs:
        result.slots[f"act.{gold['act']}"].add(1, 0, 0)
        for name, verdict in verdicts:
            count = result.slots[f"field.{name}"]
            count.add(
                verdict == "ok", verdict in ("wrong", "extra"), verdict in ("wrong", "missing")
            )
            if verdict not in ("ok", "fine"):
                yield f"{gold['act']}.{name}: {verdict}, want {gold.get(name)}, got {act.get(name)}"
    for gold in missed:
        result.slots[f"act.{gold['act']}"].add(0, 0, 1)
        for name in _FIELDS.get(gold["act"], ()):
            if gold.get(name) is not None:
                result.slots[f"field.{name}"].add(0, 0, 1)
        yield f"act missing: {gold}"
    free = list(expect.get("acts_ok", []))
    for act in spare:
        fitting = [one for one in free if _fits(one, act)]
        if fitting:
            free.remove(fitting[0])
            continue
        result.slots[f"act.{act['act']}"].add(0, 1, 0)
        yield f"act unasked: {act}"


def _fits(gold: Json, act: Json) -> bool:
    same = gold["act"] == act["act"]
    return same and all(verdict in ("ok", "fine", "missing") for _, verdict in _verdicts(gold, act))


def _paired(
    gold: list[Json], acts: list[Json]
) -> tuple[list[tuple[Json, Json, list[tuple[str, str]]]], list[Json], list[Json]]:
    """Gold acts and read ones of the same name, the best fitting first."""
    costs = sorted(
        (sum(verdict not in ("ok", "fine") for _, verdict in _verdicts(one, act)), abs(i - j), i, j)
        for i, one in enumerate(gold)
        for j, act in enumerate(acts)
        if one["act"] == act["act"]
    )
    left: dict[int, int] = {}
    for _, _, i, j in costs:
        if i not in left and j not in left.values():
            left[i] = j
    pairs = [(gold[i], acts[j], _verdicts(gold[i], acts[j])) for i, j in left.items()]
    missed = [one for i, one in enumerate(gold) if i not in left]
    spare = [one for j, one in enumerate(acts) if j not in left.values()]
    return pairs, missed, spare


def _verdicts(gold: Json, act: Json) -> list[tuple[str, str]]:
    """(field, ok / fine / missing / wrong / extra); fine is right though nobody had to say it."""
    out: list[tuple[str, str]] = []
    for name in _FIELDS.get(gold["act"], ()):
        have, want = act.get(name), gold.get(name)
        choices = [one for one in (want, gold.get("ok", {}).get(name)) if one is not None]
        if choices:
            choices += gold.get("alt", {}).get(name, [])
        if have is None:
            implied = name == "ratio" and want and _close(_ratio_of(act), _per_starter(want))
            if want is not None:
                out.append((name, "ok" if implied else "missing"))
        elif any(_same_field(name, one, have, gold) for one in choices):
            out.append((name, "ok" if want is not None else "fine"))
        elif name == "ratio" and not choices and _close(_per_starter(have), _ratio_of(gold)):
            out.append((name, "fine"))
        else:
            out.append((name, "wrong" if want is not None else "extra"))
    return out


def _same_field(name: str, gold: Any, have: Any, act: Json) -> bool:
    if name == "at":
        told = gold if isinstance(gold, str) else gold["at"]
        minutes = act.get("tolerance_min", 15) if isinstance(gold, str) else gold["tolerance_min"]
        apart = datetime.fromisoformat(have) - datetime.fromisoformat(told)
        return bool(abs(apart.total_seconds()) <= minutes * 60 + 1)
    if name == "ratio":
        return _close(_per_starter(have), _per_starter(gold))
    if name in _MASSES:
        if isinstance(have, dict):
            if have["high"] > 1.6 * have["low"]:
                return False
            have = (have["low"] + have["high"]) / 2
        low, high = (
            (gold["low"], gold["high"])
            if isinstance(gold, dict)
            else (gold * 0.97, gold * 1.03 + 1e-6)
        )
        return bool(low - 1e-6 <= have <= high + 1e-6)
    if name in ("share", "feeds", "days"):
        return bool(abs(have - gold) <= (0.03 if name == "share" else 0.05))
    if name == "flours":
        return set(have) == set(gold)
    return bool(have == gold)


def _per_starter(ratio: list[float] | None) -> list[float] | None:
    return [one / ratio[0] for one in ratio] if ratio else None


def _ratio_of(act: Json) -> list[float] | None:
    if act.get("ratio"):
        return _per_starter(act["ratio"])
    told = [act.get(name, act.get("ok", {}).get(name)) for name in _MASSES[:3]]
    if any(one is None for one in told):
        return None
    return _per_starter(
        [(one["low"] + one["high"]) / 2 if isinstance(one, dict) else one for one in told]
    )


def _close(left: list[float] | None, right: list[float] | None) -> bool:
    if left is None or right is None:
        return False
    return all(abs(a - b) <= 0.03 * b + 1e-6 for a, b in zip(left, right, strict=True))


def _asks(case: Json, got: Json, result: Score) -> Iterator[str]:
    expect, asks = case["expect"], set(got["asks"])
    needed, some = set(expect.get("asks_min", ())), set(expect.get("asks_any", ()))
    extra, lost = asks - set(expect["asks"]), needed - asks
    count = result.slots["asks"]
    count.add(len(needed & asks), len(extra), len(lost))
    if some:
        count.add(bool(some & asks), 0, not some & asks)
    if extra:
        yield f"asks unasked: {sorted(extra)}"
    if lost:
        yield f"asks missing: {sorted(lost)}"
    if some and not some & asks:
        yield f"asks: none of {sorted(some)}, got {sorted(asks)}"


def report(result: Score, show: int) -> None:
    """Print the table, and the first ``show`` messages that were not read right."""
    total = result.total
    print(
        f"messages {result.messages}  exact {result.exact:.3f}  micro P {total.precision:.3f}"
        f" R {total.recall:.3f} F1 {total.f1:.3f}  danger precision {result.danger.precision:.3f}"
        f" recall {result.danger.recall:.3f}"
    )
    for name, count in sorted(result.slots.items()):
        print(
            f"  {name:<18} P {count.precision:.3f} R {count.recall:.3f} F1 {count.f1:.3f}"
            f"  found {count.found} false {count.false} missed {count.missed}"
        )
    for key, text, faults in result.faults[:show]:
        print(f"{key} {text!r}")
        for fault in faults:
            print(f"   - {fault}")


def main(arguments: list[str]) -> None:
    show = int(arguments[arguments.index("--show") + 1]) if "--show" in arguments else 0
    for name in arguments:
        if name.endswith(".jsonl"):
            print(name)
            report(score(load(Path(name))), show)


if __name__ == "__main__":
    main(sys.argv[1:])
