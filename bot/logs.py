"""Log lines for an operator: one event a line, its fields beside it, never a secret.

Only our own loggers speak below WARNING: at DEBUG the database driver writes every value it stores,
and those are people's words.
"""

from __future__ import annotations

import logging
import sys
import time
from collections.abc import Iterable
from typing import TextIO

OURS = "jarside"
STANDARD = frozenset(vars(logging.makeLogRecord({}))) | {"message", "asctime", "taskName"}


def log_to(stream: TextIO | None, *, level: str, secrets: Iterable[str]) -> None:
    """Write this process's log to ``stream`` (None: standard error)."""
    handler = logging.StreamHandler(stream or sys.stderr)
    handler.setFormatter(LineFormatter(secrets))
    root = logging.getLogger()
    root.handlers[:] = [handler]
    root.setLevel(logging.WARNING)
    logging.getLogger(OURS).setLevel(level)


class LineFormatter(logging.Formatter):
    """``2026-03-02T08:15:00Z WARNING jarside.delivery database-away action=receive why="..."``."""

    def __init__(self, secrets: Iterable[str]) -> None:
        super().__init__(
            "%(asctime)s %(levelname)s %(name)s %(message)s", datefmt="%Y-%m-%dT%H:%M:%SZ"
        )
        self.converter = time.gmtime
        self._secrets = tuple(secret for secret in secrets if secret)

    def format(self, record: logging.LogRecord) -> str:
        first, *rest = super().format(record).splitlines() or [""]
        fields = "".join(
            f" {name}={_word(value)}"
            for name, value in vars(record).items()
            if name not in STANDARD
        )
        line = "\n".join([first + fields, *rest])
        for secret in self._secrets:
            line = line.replace(secret, "<secret>")
        return line


def _word(value: object) -> str:
    text = str(value)
    return text if text and text.isprintable() and not set(text) & set(' "=') else repr(text)
