"""Engines: how a database is spoken to. SQLite with WAL, full synchronous commits and BEGIN IMMEDIATE; psycopg 3."""

import json
import sqlite3
from functools import partial
from typing import Any

import sqlalchemy as sa

from bot.storage.troubles import StorageTrouble, safe
from core.problems import Problem

POSTGRES_CONNECTIONS = 8
CONNECT_PATIENCE_S = 5

_json = partial(json.dumps, allow_nan=False, separators=(",", ":"))  # ASCII: no character can make a row fail


def is_sqlite(url: str) -> bool:
    return url.startswith("sqlite")


def is_postgresql(url: str) -> bool:
    return url.split(":", 1)[0] in ("postgresql", "postgresql+psycopg")


def in_memory(url: str) -> bool:
    return is_sqlite(url) and sa.make_url(url).database in (None, "", ":memory:")


def engine(url: str, patience_s: float, write: bool = True) -> sa.Engine:
    """Does not connect yet. On SQLite an engine writes or reads; on PostgreSQL each transaction says so."""
    try:
        if is_sqlite(url):
            return _sqlite(url, patience_s, write)
        if is_postgresql(url):
            return _postgresql(url, patience_s)
        raise ValueError(url)
    except (sa.exc.ArgumentError, ModuleNotFoundError, ValueError) as error:
        raise StorageTrouble(_unusable(url, error)) from None


def _postgresql(url: str, patience_s: float) -> sa.Engine:
    return sa.create_engine(
        url,
        pool_size=POSTGRES_CONNECTIONS,
        max_overflow=0,
        pool_timeout=patience_s,
        pool_pre_ping=True,
        json_serializer=_json,
        connect_args={"connect_timeout": CONNECT_PATIENCE_S},
    )


def _sqlite(url: str, patience_s: float, write: bool) -> sa.Engine:
    pool: dict[str, Any] = {"poolclass": sa.pool.StaticPool} if in_memory(url) else {}
    arguments = {"check_same_thread": False, "timeout": patience_s}
    made = sa.create_engine(url, connect_args=arguments, json_serializer=_json, **pool)
    sa.event.listen(made, "connect", partial(_prepare, patience_s=patience_s, write=write))
    sa.event.listen(made, "begin", _begin_immediately if write else _begin)
    return made


def _prepare(connection: sqlite3.Connection, _record: Any, patience_s: float, write: bool) -> None:
    """`secure_delete`: what is deleted is overwritten. `query_only`: a reader that writes is refused."""
    connection.isolation_level = None  # we say BEGIN ourselves
    settings = ["synchronous=FULL", "foreign_keys=ON", f"busy_timeout={int(patience_s * 1000)}", "secure_delete=ON"]
    if connection.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
        settings.append("journal_mode=WAL")
    if not write:
        settings.append("query_only=ON")
    for one in settings:
        connection.execute(f"PRAGMA {one}")


def _begin_immediately(connection: sa.Connection) -> None:
    if connection.get_execution_options().get("isolation_level") != "AUTOCOMMIT":
        connection.exec_driver_sql("BEGIN IMMEDIATE")


def _begin(connection: sa.Connection) -> None:
    connection.exec_driver_sql("BEGIN")


def _unusable(url: str, error: Exception) -> Problem:
    if isinstance(error, ModuleNotFoundError):
        mend = "install it with: pip install 'plimsoll[postgres]'"
        return Problem(safe(url), f"needs the package {error.name}", mend)
    mend = "write sqlite:////path/file.db or postgresql+psycopg://user@host/name"
    return Problem("PLIMSOLL_DATABASE", "is no database address", mend)
