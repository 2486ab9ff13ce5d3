"""Settings: what the environment and a ``.env`` file say, read once and handed on.

Nothing is read at import. The environment wins over the file; an empty value is no value.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Literal, Self
from urllib.parse import quote, unquote, urlsplit

import platformdirs
from pydantic import Field, SecretStr, ValidationError, field_validator
from pydantic_settings import (
    BaseSettings,
    DotEnvSettingsSource,
    EnvSettingsSource,
    NoDecode,
    PydanticBaseSettingsSource,
    SettingsConfigDict,
)

from bot.errors import SettingsError

PREFIX = "JARSIDE_"
PUBLIC_API_URL = "https://api.telegram.org"

LogLevel = Literal["DEBUG", "INFO", "WARNING", "ERROR", "CRITICAL"]


def data_folder() -> Path:
    """Where this user's programs keep their data; not made yet, perhaps."""
    return platformdirs.user_data_path("jarside", appauthor=False)


def sqlite_url(file: Path) -> str:
    """The database URL of a SQLite file, whatever characters its name holds."""
    return f"sqlite+aiosqlite:///{quote(str(file.absolute()), safe='/:')}"


def sqlite_file(database_url: str) -> Path | None:
    """The file of such a URL; None for another database, or for one in memory."""
    scheme, _, rest = database_url.partition(":///")
    name = unquote(rest.partition("?")[0])
    return Path(name) if scheme.startswith("sqlite") and name not in ("", ":memory:") else None


class Settings(BaseSettings):
    """Everything that can be set, checked. Its text never shows the token or a password."""

    model_config = SettingsConfigDict(
        env_prefix=PREFIX, env_ignore_empty=True, frozen=True, extra="ignore"
    )

    database_url: str = Field(
        default_factory=lambda: sqlite_url(data_folder() / "jarside.db"), repr=False
    )
    """``sqlite+aiosqlite:///...`` or ``postgresql+psycopg://...``."""
    telegram_token: SecretStr | None = None
    telegram_api_url: str = PUBLIC_API_URL
    """The Bot API's base, without a slash at its end."""
    host_ids: Annotated[tuple[int, ...], NoDecode] = ()
    """Chat ids of those who host a series."""
    send_rate: float = 30.0
    """Bulk messages per second."""
    log_level: LogLevel = "INFO"

    @classmethod
    def from_environ(cls, environ: Mapping[str, str], *, env_file: Path | None = None) -> Self:
        """The settings that ``environ`` and, below it, ``env_file`` give.

        A file that is not there says nothing. Raises SettingsError with every fault at once.
        """
        told = EnvSettingsSource(cls)
        told.env_vars = {name.lower(): value for name, value in environ.items() if value}
        try:
            kept = DotEnvSettingsSource(cls, env_file=env_file)
        except (OSError, UnicodeDecodeError):
            raise SettingsError(f"{env_file} cannot be read as text") from None
        try:
            return cls(**{**kept(), **told()})
        except ValidationError as wrong:
            raise SettingsError("; ".join(_faults(wrong))) from None

    @classmethod
    def settings_customise_sources(
        cls,
        settings_cls: type[BaseSettings],
        init_settings: PydanticBaseSettingsSource,
        env_settings: PydanticBaseSettingsSource,
        dotenv_settings: PydanticBaseSettingsSource,
        file_secret_settings: PydanticBaseSettingsSource,
    ) -> tuple[PydanticBaseSettingsSource, ...]:
        """Only what is handed in: ``from_environ`` decides what that is."""
        return (init_settings,)

    @field_validator("database_url")
    @classmethod
    def _known_database(cls, url: str) -> str:
        scheme, colon, rest = url.strip().partition("://")
        match scheme:
            case "sqlite" | "sqlite+aiosqlite" if colon:
                return f"sqlite+aiosqlite://{rest}"
            case "postgresql" | "postgres" | "postgresql+psycopg" if colon:
                return f"postgresql+psycopg://{rest}"
            case _:
                raise ValueError("wants sqlite:///<file> or postgresql+psycopg://<host>/<database>")

    @field_validator("telegram_token")
    @classmethod
    def _usable_token(cls, token: SecretStr | None) -> SecretStr | None:
        """Its form is the service's affair; but it becomes part of an address."""
        if token is None:
            return None
        text = token.get_secret_value().strip()
        if not text.isascii() or not text.isprintable() or any(c in text for c in " /?#"):
            raise ValueError("is not a token: copy it again, whole and without spaces")
        return SecretStr(text)

    @field_validator("telegram_api_url")
    @classmethod
    def _web_address(cls, url: str) -> str:
        parts = urlsplit(url.strip())
        if parts.scheme not in ("http", "https") or not parts.hostname:
            raise ValueError("wants an address that begins with https:// or http://")
        return url.strip().rstrip("/")

    @field_validator("host_ids", mode="before")
    @classmethod
    def _comma_list(cls, told: object) -> object:
        if not isinstance(told, str):
            return told
        try:
            return tuple(int(part) for part in told.split(",") if part.strip())
        except ValueError:
            raise ValueError("wants chat ids, which are whole numbers, with commas") from None

    @field_validator("send_rate", mode="before")
    @classmethod
    def _above_zero(cls, told: object) -> object:
        try:
            rate = float(str(told))
        except ValueError:
            rate = math.nan
        if not (math.isfinite(rate) and rate > 0):
            raise ValueError("wants messages per second, a number above 0")
        return rate

    @field_validator("log_level", mode="before")
    @classmethod
    def _any_case(cls, told: object) -> object:
        return told.strip().upper() if isinstance(told, str) else told


def names() -> tuple[str, ...]:
    """Every setting's name in the environment, in the order of the fields."""
    return tuple(PREFIX + field.upper() for field in Settings.model_fields)


def _faults(wrong: ValidationError) -> list[str]:
    """One per setting, without the value: it may be a secret."""
    faults = []
    for error in wrong.errors(include_input=False, include_url=False):
        name = PREFIX + str(error["loc"][0]).upper()
        if error["type"] == "literal_error":
            faults.append(f"{name} wants one of {error['ctx']['expected']}")
        else:
            faults.append(f"{name} {error['msg'].removeprefix('Value error, ')}")
    return faults
