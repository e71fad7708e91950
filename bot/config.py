"""Settings: from a TOML file and the environment (which wins), every problem at once. Secrets never from the file."""

import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final
from urllib.parse import urlsplit

from core.problems import BadInput, Problem

PREFIX: Final = "PLIMSOLL_"
TELEGRAM_API: Final = "https://api.telegram.org"
SECRETS: Final = ("TELEGRAM_TOKEN", "MATRIX_PASSWORD")
PLAIN: Final = ("DATABASE", "TELEGRAM_API", "MATRIX_HOMESERVER", "MATRIX_USER", "BACKUPS", "LOG_LEVEL")
LOOPBACK: Final = ("127.0.0.1", "localhost", "::1")


@dataclass(frozen=True, slots=True)
class Telegram:
    """The bot's token and the Bot API's address."""

    token: str
    api: str = TELEGRAM_API

    def __repr__(self) -> str:
        return f"Telegram(token=…, api={self.api!r})"


@dataclass(frozen=True, slots=True)
class Matrix:
    """The Matrix account."""

    homeserver: str
    user: str
    password: str

    def __repr__(self) -> str:
        return f"Matrix(homeserver={self.homeserver!r}, user={self.user!r}, password=…)"


@dataclass(frozen=True, slots=True)
class Settings:
    """What the service needs to know; None where a messenger is not configured."""

    database: str
    telegram: Telegram | None = None
    matrix: Matrix | None = None
    backups: Path | None = None
    log_level: str = "INFO"

    def secrets(self) -> tuple[str, ...]:
        """What must never stand in a log."""
        token = () if self.telegram is None else (self.telegram.token,)
        return token if self.matrix is None else (*token, self.matrix.password)


def data_directory(environment: Mapping[str, str]) -> Path:
    """The user's data directory, by the XDG base directory rules."""
    base = environment.get("XDG_DATA_HOME") or str(Path(environment.get("HOME", "/tmp")) / ".local" / "share")
    return Path(base) / "plimsoll"


def settings(environment: Mapping[str, str] | None = None) -> Settings:
    """The settings in force. Raises BadInput with every problem found."""
    env = os.environ if environment is None else environment
    problems: list[Problem] = []
    values = _from_file(env, problems) | _from_environment(env, problems)
    database = values.get("DATABASE") or f"sqlite:///{data_directory(env) / 'plimsoll.db'}"
    _check_database(database, problems)
    telegram, matrix = _telegram(values, problems), _matrix(values, problems)
    level = values.get("LOG_LEVEL", "INFO").upper()
    if level not in ("DEBUG", "INFO", "WARNING", "ERROR"):
        problems.append(Problem(f"{PREFIX}LOG_LEVEL", "is no log level", "use DEBUG, INFO, WARNING or ERROR"))
    if problems:
        raise BadInput(problems)
    backups = Path(values["BACKUPS"]) if values.get("BACKUPS") else None
    return Settings(database, telegram, matrix, backups, level)


def _from_file(env: Mapping[str, str], problems: list[Problem]) -> dict[str, str]:
    path = env.get(f"{PREFIX}SETTINGS")
    if not path:
        return {}
    try:
        data = tomllib.loads(Path(path).read_text("utf-8"))
    except OSError as error:
        problems.append(Problem(path, f"cannot be read ({error.strerror})", f"mend {PREFIX}SETTINGS"))
        return {}
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        problems.append(Problem(path, f"is not TOML ({error})", "mend it there"))
        return {}
    found: dict[str, str] = {}
    for key, value in data.items():
        name = key.upper()
        if name in SECRETS:
            mend = f"put it into the environment, or name a file in {PREFIX}{name}_FILE"
            problems.append(Problem(f"{path}, {key}", "is a secret and may not stand in the file", mend))
        elif name not in PLAIN or not isinstance(value, str):
            problems.append(Problem(f"{path}, {key}", "is no setting", f"use one of {', '.join(PLAIN).lower()}"))
        else:
            found[name] = value
    return found


def _from_environment(env: Mapping[str, str], problems: list[Problem]) -> dict[str, str]:
    found = {name: env[PREFIX + name] for name in (*PLAIN, *SECRETS) if env.get(PREFIX + name)}
    for name in SECRETS:
        path = env.get(f"{PREFIX}{name}_FILE")
        if path and name not in found:
            try:
                found[name] = Path(path).read_text("utf-8").strip()
            except OSError as error:
                what = f"names a file that cannot be read ({error.strerror})"
                problems.append(Problem(f"{PREFIX}{name}_FILE", what, "name a readable file"))
    return found


def _check_database(url: str, problems: list[Problem]) -> None:
    if urlsplit(url).scheme.split("+")[0] not in ("sqlite", "postgresql"):
        mend = "write sqlite:////path/plimsoll.db or postgresql+psycopg://user@host/name"
        problems.append(Problem(f"{PREFIX}DATABASE", "is no SQLite or PostgreSQL address", mend))


def _telegram(values: Mapping[str, str], problems: list[Problem]) -> Telegram | None:
    if "TELEGRAM_TOKEN" not in values:
        return None
    api = values.get("TELEGRAM_API", TELEGRAM_API).rstrip("/")
    if not _safe(api):
        mend = "write https://host, or http://127.0.0.1:port for a server on this machine"
        problems.append(Problem(f"{PREFIX}TELEGRAM_API", "would send the token in the clear", mend))
    return Telegram(values["TELEGRAM_TOKEN"], api)


def _matrix(values: Mapping[str, str], problems: list[Problem]) -> Matrix | None:
    names = ("MATRIX_HOMESERVER", "MATRIX_USER", "MATRIX_PASSWORD")
    given = [name for name in names if name in values]
    if not given:
        return None
    for name in names:
        if name not in values:
            problems.append(Problem(f"{PREFIX}{name}", "is missing", f"set it beside {PREFIX}{given[0]}"))
    server = values.get("MATRIX_HOMESERVER", "").rstrip("/")
    if server and not _safe(server):
        mend = "write https://host, or http://127.0.0.1:port for a server on this machine"
        problems.append(Problem(f"{PREFIX}MATRIX_HOMESERVER", "would send the password in the clear", mend))
    return Matrix(server, values.get("MATRIX_USER", ""), values.get("MATRIX_PASSWORD", ""))


def _safe(address: str) -> bool:
    parts = urlsplit(address)
    return parts.scheme == "https" or (parts.scheme == "http" and parts.hostname in LOOPBACK)
