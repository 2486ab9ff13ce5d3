"""Settings: one place that reads the environment, every fault told at once, no secret shown."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy.engine import make_url

from bot.errors import SettingsError
from bot.settings import PUBLIC_API_URL, Settings, names, sqlite_file, sqlite_url


def test_nothing_set_gives_a_sqlite_file_in_the_users_data_folder(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))

    settings = Settings.from_environ({})

    assert settings.database_url == f"sqlite+aiosqlite:///{tmp_path}/jarside/jarside.db"
    assert settings.telegram_token is None
    assert settings.telegram_api_url == PUBLIC_API_URL
    assert settings.host_ids == ()
    assert settings.send_rate == 30.0
    assert settings.log_level == "INFO"


def test_each_name_of_the_contract_is_read() -> None:
    settings = Settings.from_environ(
        {
            "JARSIDE_DATABASE_URL": "postgresql+psycopg://me@db/jars",
            "JARSIDE_TELEGRAM_TOKEN": " 12:ab-CD_3 ",
            "JARSIDE_TELEGRAM_API_URL": "http://127.0.0.1:8081/",
            "JARSIDE_HOST_IDS": "17, -42,",
            "JARSIDE_SEND_RATE": "2.5",
            "JARSIDE_LOG_LEVEL": "warning",
        }
    )

    assert settings.database_url == "postgresql+psycopg://me@db/jars"
    assert settings.telegram_token is not None
    assert settings.telegram_token.get_secret_value() == "12:ab-CD_3"
    assert settings.telegram_api_url == "http://127.0.0.1:8081"
    assert settings.host_ids == (17, -42)
    assert settings.send_rate == 2.5
    assert settings.log_level == "WARNING"


def test_the_names_are_those_of_the_contract() -> None:
    assert names() == (
        "JARSIDE_DATABASE_URL",
        "JARSIDE_TELEGRAM_TOKEN",
        "JARSIDE_TELEGRAM_API_URL",
        "JARSIDE_HOST_IDS",
        "JARSIDE_SEND_RATE",
        "JARSIDE_LOG_LEVEL",
    )


@pytest.mark.parametrize(
    ("told", "meant"),
    [
        ("sqlite:///jars.db", "sqlite+aiosqlite:///jars.db"),
        ("sqlite+aiosqlite:///jars.db", "sqlite+aiosqlite:///jars.db"),
        ("postgres://h/jars", "postgresql+psycopg://h/jars"),
        ("postgresql://h/jars", "postgresql+psycopg://h/jars"),
    ],
)
def test_a_database_is_named_the_short_way_or_the_long_way(told: str, meant: str) -> None:
    settings = Settings.from_environ({"JARSIDE_DATABASE_URL": told})

    assert settings.database_url == meant


def test_all_faults_are_told_at_once_and_none_repeats_a_value() -> None:
    environ = {
        "JARSIDE_DATABASE_URL": "mysql://root:hunter2@db/jars",
        "JARSIDE_TELEGRAM_TOKEN": "12:sec ret",
        "JARSIDE_TELEGRAM_API_URL": "localhost",
        "JARSIDE_HOST_IDS": "12;13",
        "JARSIDE_SEND_RATE": "0",
        "JARSIDE_LOG_LEVEL": "loud",
    }

    with pytest.raises(SettingsError) as caught:
        Settings.from_environ(environ)

    for name in names():
        assert name in str(caught.value)
    assert "hunter2" not in str(caught.value)
    assert "sec ret" not in str(caught.value)


@pytest.mark.parametrize("rate", ["0", "-1", "nan", "inf", "often", ""])
def test_a_send_rate_is_a_number_above_zero_or_left_to_the_default(rate: str) -> None:
    environ = {"JARSIDE_SEND_RATE": rate}

    if rate == "":
        assert Settings.from_environ(environ).send_rate == 30.0
    else:
        with pytest.raises(SettingsError, match="JARSIDE_SEND_RATE"):
            Settings.from_environ(environ)


def test_the_environment_wins_over_the_env_file(tmp_path: Path) -> None:
    env_file = tmp_path / ".env"
    env_file.write_text("JARSIDE_SEND_RATE=3\nJARSIDE_HOST_IDS=5\nOTHER=1\n", encoding="utf-8")

    settings = Settings.from_environ({"JARSIDE_SEND_RATE": "4"}, env_file=env_file)

    assert settings.send_rate == 4.0
    assert settings.host_ids == (5,)


def test_an_env_file_that_is_no_text_is_one_clear_fault(tmp_path: Path) -> None:
    env_file = tmp_path / ".env"
    env_file.write_bytes(b"JARSIDE_SEND_RATE=\xff\xfe3\n")

    with pytest.raises(SettingsError, match="cannot be read"):
        Settings.from_environ({}, env_file=env_file)


def test_an_env_file_that_is_not_there_says_nothing(tmp_path: Path) -> None:
    assert Settings.from_environ({}, env_file=tmp_path / ".env").send_rate == 30.0


def test_the_text_of_the_settings_shows_no_token_and_no_password() -> None:
    settings = Settings.from_environ(
        {
            "JARSIDE_TELEGRAM_TOKEN": "12:tellnobody",
            "JARSIDE_DATABASE_URL": "postgresql://me:hunter2@db/jars",
        }
    )

    assert "tellnobody" not in f"{settings!r} {settings}"
    assert "hunter2" not in f"{settings!r} {settings}"


@pytest.mark.parametrize("name", ["a b.db", "50%20.db", "what?.db", "#1.db", "sauerteig-größe.db"])
def test_a_file_of_any_name_has_an_address(name: str, tmp_path: Path) -> None:
    url = sqlite_url(tmp_path / name)

    assert make_url(url).database == str(tmp_path / name)
    assert sqlite_file(url) == tmp_path / name


@pytest.mark.parametrize("url", ["postgresql://h/jars", "sqlite://", "sqlite:///:memory:"])
def test_a_database_that_is_no_file_has_none(url: str) -> None:
    assert sqlite_file(url) is None


def test_settings_cannot_be_changed() -> None:
    settings = Settings.from_environ({})

    with pytest.raises(ValueError, match="frozen"):
        settings.send_rate = 1.0  # type: ignore[misc]
