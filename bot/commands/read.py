"""``jarside read``: JSON lines in, JSON lines out; a line that cannot be read is answered too."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import fields
from datetime import datetime
from typing import TextIO

from bot.culture.quantities import Range
from bot.culture.vocabulary import Act, Liquid, Rise, Signs, Temperature, Units
from bot.reading.reader import read
from bot.reading.reading import Reading

LONGEST_LINE = 1_000_000


def run(stdin: TextIO, stdout: TextIO) -> int:
    """Answer every line of ``stdin`` in order, each as soon as it is read. Returns the exit code 0."""
    for answer in answers(stdin):
        stdout.write(answer + "\n")
        stdout.flush()
    return 0


def answers(lines: Iterable[str]) -> Iterator[str]:
    """One JSON line for each line that is not blank."""
    for line in lines:
        if line.strip():
            yield json.dumps(_answer(line), ensure_ascii=False)


def _answer(line: str) -> dict[str, object]:
    if len(line) > LONGEST_LINE:
        return {"id": None, "error": "the line is too long"}
    try:
        asked = json.loads(line)
    except (ValueError, RecursionError):
        return {"id": None, "error": "the line is not JSON"}
    match asked:
        case {
            "id": str(key),
            "text": str(text),
            "at": str(moment),
            "units": "metric" | "us" as units,
        }:
            names = asked.get("cultures", [])
            if not isinstance(names, list) or not all(isinstance(name, str) for name in names):
                return {"id": None, "error": "cultures wants a list of names"}
            return _reading(key, text, moment, units, tuple(names))
        case {"id": _, "text": _, "at": _, "units": _}:
            return {"id": None, "error": "wants id, text and at as strings, units metric or us"}
        case _:
            return {"id": None, "error": "wants an object with id, text, at and units"}


def _reading(
    key: str, text: str, moment: str, units: Units, cultures: tuple[str, ...]
) -> dict[str, object]:
    try:
        at = datetime.fromisoformat(moment)
    except ValueError:
        return {"id": None, "error": "at is not an ISO 8601 time"}
    if at.tzinfo is None:
        return {"id": None, "error": "at has no offset from UTC"}
    found = read(_sound(text), at=at, units=units, cultures=cultures)
    return {"id": _sound(key), **reading_json(found)}


def reading_json(found: Reading) -> dict[str, object]:
    """A reading as the contract writes it; only what the message says has a key."""
    out: dict[str, object] = {
        "signs": signs_json(found.signs),
        "acts": [act_json(act) for act in found.acts],
        "asks": list(found.asks),
        "unread": list(found.unread),
    }
    if found.others:
        out["others"] = {
            other.name: {
                "signs": signs_json(other.signs),
                "acts": [act_json(act) for act in other.acts],
            }
            for other in found.others
        }
    return out


def signs_json(signs: Signs) -> dict[str, object]:
    said = ((one.name, getattr(signs, one.name)) for one in fields(signs))
    return {name: _value(value) for name, value in said if value is not None and value != ()}


def act_json(act: Act) -> dict[str, object]:
    said = ((one.name, getattr(act, one.name)) for one in fields(act) if one.name != "act")
    stated = {name: _value(value) for name, value in said if value is not None and value != ()}
    return {"act": act.act, **stated}


def _value(value: object) -> object:
    match value:
        case Rise(ratio=ratio, low=low, high=high):
            return {"ratio": _tidy(ratio), "low": _tidy(low), "high": _tidy(high)}
        case Temperature(celsius=celsius, of=of):
            return {"celsius": round(celsius, 1), "of": of}
        case Liquid(present=present, colour=colour, where=where):
            said = {"present": present, "colour": colour, "where": where}
            return {name: one for name, one in said.items() if one is not None}
        case Range() if value.is_exact:
            return _tidy(value.low)
        case Range(low=low, high=high):
            return {"low": _tidy(low), "high": _tidy(high)}
        case datetime():
            return value.isoformat(timespec="seconds")
        case tuple():
            return [_value(one) for one in value]
        case float():
            return _tidy(value)
        case _:
            return value


def _tidy(number: float) -> float | int:
    short = round(number, 3)
    return int(short) if short == int(short) else short


def _sound(text: str) -> str:
    """Without lone surrogates, which JSON can smuggle in and no encoding can write."""
    return text.encode("utf-8", "replace").decode("utf-8")
