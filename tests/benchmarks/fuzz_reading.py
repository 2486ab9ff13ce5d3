"""Read random messages until the time is up: ``python -m tests.benchmarks.fuzz_reading SECONDS [SEED]``.

Half are jumbles of the lexicon's words, numbers and signs; a quarter are labelled messages with letters
changed, dropped or doubled; a quarter are any Unicode. Prints one JSON line: how many were read, how many
failed, and the slowest in milliseconds of processor time. Exits 1 if one failed or took longer than 50.
"""

from __future__ import annotations

import json
import random
import sys
import time
from datetime import UTC, datetime, timedelta
from pathlib import Path

from bot.commands.read import reading_json
from bot.reading.lexicon import lexicon
from bot.reading.reader import read

LIMIT_MS = 50.0
SAMPLE = Path(__file__).parents[1] / "reading" / "open.jsonl"
SIGNS = [
    *".,!?;:-/()%+#\n",
    "½",
    "1:2:2",
    "21C",
    "8:30",
    "70 F",
    "5-6",
    "->",
    "🫧",
    "✅",
    "'s",
    "  ",
]


def main(seconds: float, seed: int) -> int:
    chance = random.Random(seed)
    words = sorted(lexicon().vocabulary)
    samples = [json.loads(line)["text"] for line in SAMPLE.read_text("utf-8").splitlines()]
    count = failed = 0
    slowest, slowest_text = 0.0, ""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        text = message(chance, words, samples)
        at = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(minutes=chance.randrange(525_600))
        start = time.process_time()
        try:
            json.dumps(reading_json(read(text, at=at, units=chance.choice(("metric", "us")), cultures=("Bubbles", "Rye Guy"))))  # fmt: skip
        except Exception as fault:  # noqa: BLE001 - finding any at all is what this is for
            failed += 1
            print(json.dumps({"text": text, "fault": repr(fault)}))
        spent = (time.process_time() - start) * 1000
        if spent > slowest:
            slowest, slowest_text = spent, text
        count += 1
    print(json.dumps({"read": count, "failed": failed, "slowest_ms": round(slowest, 1), "of": slowest_text[:60], "seed": seed}))  # fmt: skip
    return int(failed > 0 or slowest > LIMIT_MS)


def message(chance: random.Random, words: list[str], samples: list[str]) -> str:
    kind = chance.randrange(4)
    if kind < 2:
        size = chance.choice((3, 8, 20, 20, 400))
        pool = [chance.choice(words) if chance.random() < 0.8 else chance.choice((*SIGNS, str(chance.randrange(400)))) for _ in range(chance.randrange(size) + 1)]  # fmt: skip
        return " ".join(pool)[:4096]
    if kind == 2:
        letters = list(chance.choice(samples))
        for _ in range(chance.randrange(6)):
            at = chance.randrange(len(letters))
            letters[at] = chance.choice(("", letters[at] * 2, chr(chance.randrange(32, 0x2FF))))
        return "".join(letters)
    return "".join(chr(chance.choice((chance.randrange(0x80), chance.randrange(0x3000), chance.randrange(0x110000)))) for _ in range(chance.randrange(200)))  # fmt: skip


if __name__ == "__main__":
    given = sys.argv[1:]
    sys.exit(main(float(given[0]) if given else 60.0, int(given[1]) if len(given) > 1 else 1))
