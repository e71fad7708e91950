"""Statements that are built once and run often: to build one costs five times what it costs to run it (measured).

A `key` names columns and the values they must have; None asks for NULL.
"""

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

import sqlalchemy as sa

from bot.storage import tables

T = tables.metadata.tables
Key = Mapping[str, Any]
Names = tuple[str, ...]


def found(connection: sa.Connection, table: str, key: Key, order: Names = (), columns: Names = ()) -> Any:
    """The rows at `key`; all columns unless some are named."""
    return connection.execute(_select(table, _asked(key), _null(key), order, columns), _values(key))


def change(connection: sa.Connection, table: str, key: Key, values: Mapping[str, Any]) -> int:
    """Give the rows at `key` these values; how many rows."""
    statement = _update(table, _asked(key), _null(key), tuple(values))
    return connection.execute(statement, {**_values(key), **values}).rowcount


def change_each(connection: sa.Connection, table: str, rows: Sequence[tuple[Key, Mapping[str, Any]]]) -> None:
    """The same columns of several rows, found by the same columns, in one go; no value of a key is None."""
    if rows:
        key, values = rows[0]
        statement = _update(table, tuple(key), (), tuple(values))
        connection.execute(statement, [{**_values(one), **new} for one, new in rows])


def remove(connection: sa.Connection, table: str, key: Key) -> int:
    """Delete the rows at `key`; how many."""
    return connection.execute(_delete(table, _asked(key), _null(key)), _values(key)).rowcount


def add(connection: sa.Connection, table: str, rows: Mapping[str, Any] | Sequence[Mapping[str, Any]]) -> None:
    """Insert one row or several of the same columns."""
    if rows:
        connection.execute(_insert(table), rows)


@cache
def _select(table: str, asked: Names, null: Names, order: Names, columns: Names) -> sa.Select[Any]:
    there = T[table]
    wanted = [there.c[name] for name in columns] if columns else [there]
    return sa.select(*wanted).where(*_at(table, asked, null)).order_by(*(there.c[name] for name in order))


@cache
def _update(table: str, asked: Names, null: Names, columns: Names) -> sa.Update:
    values = {name: sa.bindparam(name, type_=T[table].c[name].type) for name in columns}
    return T[table].update().where(*_at(table, asked, null)).values(values)


@cache
def _delete(table: str, asked: Names, null: Names) -> sa.Delete:
    return T[table].delete().where(*_at(table, asked, null))


@cache
def _insert(table: str) -> sa.Insert:
    return T[table].insert()


def _at(table: str, asked: Names, null: Names) -> list[sa.ColumnElement[bool]]:
    there = T[table]
    return [there.c[name] == sa.bindparam(f"at_{name}", type_=there.c[name].type) for name in asked] + [
        there.c[name].is_(None) for name in null
    ]


def _asked(key: Key) -> Names:
    return tuple(name for name, value in key.items() if value is not None)


def _null(key: Key) -> Names:
    return tuple(name for name, value in key.items() if value is None)


def _values(key: Key) -> dict[str, Any]:
    return {f"at_{name}": value for name, value in key.items() if value is not None}
