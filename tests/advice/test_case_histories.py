"""Every case history ends in the right verdict and the right words; the safety ones without exception."""

from __future__ import annotations

import pytest

from tests.advice.case_histories import History, histories, last_replies
from tests.advice.wording import MUST, NEVER, NEVER_CONDEMNING, NEVER_REASSURING, says

CASES = list(histories())


def faults(history: History) -> list[str]:
    """What is wrong with the reply to the last message; nothing when all is well."""
    replies = last_replies(history)
    text = "\n\n".join(reply.plain for reply in replies)
    verdict = next((reply.verdict for reply in reversed(replies) if reply.verdict), None)
    found = []
    if verdict not in history.verdict:
        found.append(f"verdict {verdict}, wanted {history.verdict}")
    found += [f"does not say {name}" for name in history.must if not says(MUST[name], text)]
    never = [pattern for name in history.never for pattern in NEVER[name]]
    if "discard" in history.verdict and verdict == "discard":
        never += NEVER_CONDEMNING
    if verdict in ("on-track", "adjust", "ready") and "discard" not in history.verdict:
        never += NEVER_REASSURING
    found += [f"says {pattern[-60:]}" for pattern in never if says(pattern, text)]
    if len(text) > 1200:
        found.append(f"{len(text)} letters")
    return [*found, text] if found else []


def test_there_are_at_least_a_hundred_and_twenty_and_each_names_its_source() -> None:
    assert len(CASES) >= 120
    assert all(case.source for case in CASES)
    assert len({case.title for case in CASES}) == len(CASES)


@pytest.mark.parametrize("history", CASES, ids=lambda case: case.title)
def test_a_case_history_ends_well(history: History) -> None:
    assert faults(history) == []
