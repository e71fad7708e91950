"""The two inserts that both databases know: once, and over what is there."""

from collections.abc import Iterable
from functools import cache
from typing import Any

import sqlalchemy as sa
from sqlalchemy.dialects import postgresql, sqlite
from sqlmodel import SQLModel


def _insert(dialect: str, table: type[SQLModel], names: tuple[str, ...]) -> Any:
    make = sqlite.insert if dialect == "sqlite" else postgresql.insert
    there = table.__table__  # type: ignore[attr-defined]
    return make(there).values({name: sa.bindparam(name, type_=there.c[name].type) for name in names})


def insert_once(connection: sa.Connection, table: type[SQLModel], row: dict[str, Any]) -> bool:
    """Insert unless a unique key stands in the way; whether it was inserted."""
    return connection.execute(_once(connection.dialect.name, table, tuple(row)), row).first() is not None


def upsert(
    connection: sa.Connection,
    table: type[SQLModel],
    key: dict[str, Any],
    values: dict[str, Any],
    over: Iterable[str] | None = None,
    keep: bool = False,
) -> None:
    """Insert, or change the row that has this key: the columns named in `over`, all of `values` where None are.

    `keep`: only where a column has no value yet.
    """
    changed = tuple(values if over is None else over)
    statement = _over(connection.dialect.name, table, (tuple(key), tuple(values), changed), keep)
    connection.execute(statement, {**key, **values})


@cache
def _once(dialect: str, table: type[SQLModel], names: tuple[str, ...]) -> Any:
    first_key = sa.inspect(table).primary_key[0]
    return _insert(dialect, table, names).on_conflict_do_nothing().returning(first_key)


@cache
def _over(dialect: str, table: type[SQLModel], names: tuple[tuple[str, ...], ...], keep: bool) -> Any:
    """`names`: of the key, of the other values, of those that are changed."""
    key, values, changed = names
    insert = _insert(dialect, table, (*key, *values))
    there = table.__table__  # type: ignore[attr-defined]
    new = {name: insert.excluded[name] for name in changed}
    over = {name: sa.func.coalesce(there.c[name], value) for name, value in new.items()} if keep else new
    return insert.on_conflict_do_update(index_elements=list(key), set_=over)
