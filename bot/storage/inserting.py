"""The two inserts that both databases know: once, and over what is there."""

from typing import Any

import sqlalchemy as sa
from sqlalchemy.dialects import postgresql, sqlite
from sqlmodel import SQLModel


def _insert(connection: sa.Connection, table: type[SQLModel]) -> Any:
    make = sqlite.insert if connection.dialect.name == "sqlite" else postgresql.insert
    return make(table.__table__)  # type: ignore[attr-defined]


def insert_once(connection: sa.Connection, table: type[SQLModel], row: dict[str, Any]) -> bool:
    """Insert unless a unique key stands in the way; whether it was inserted."""
    first_key = sa.inspect(table).primary_key[0]
    statement = _insert(connection, table).values(**row).on_conflict_do_nothing().returning(first_key)
    return connection.execute(statement).first() is not None


def upsert(
    connection: sa.Connection,
    table: type[SQLModel],
    key: dict[str, Any],
    values: dict[str, Any],
    over: dict[str, Any] | None = None,
) -> None:
    """Insert, or change the row that has this key: to `over` where given, else to `values`."""
    statement = _insert(connection, table).values(**key, **values)
    changed = values if over is None else over
    connection.execute(statement.on_conflict_do_update(index_elements=list(key), set_=changed))
