"""Fixtures for everybody: a clean environment, so that no setting of this machine leaks in."""

from __future__ import annotations

import os

import pytest


@pytest.fixture(autouse=True)
def no_settings_of_this_machine(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in list(os.environ):
        if name.startswith("JARSIDE_"):
            monkeypatch.delenv(name)
