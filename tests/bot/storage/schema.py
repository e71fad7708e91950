"""A database's schema as plain data, read from the database itself: what two of them must have alike."""

import re
from typing import Any

import sqlalchemy as sa


def described(connection: sa.Connection) -> dict[str, Any]:
    """Every table with its columns, keys, constraints and indexes, in an order of their own."""
    inspector = sa.inspect(connection)
    names = [name for name in inspector.get_table_names() if name != "alembic_version"]
    return {name: _table(inspector, name) for name in sorted(names)}


def _table(inspector: sa.Inspector, name: str) -> dict[str, Any]:
    return {
        "columns": sorted((_column(one) for one in inspector.get_columns(name)), key=str),
        "key": _plain(inspector.get_pk_constraint(name)),
        "foreign": sorted((_plain(one) for one in inspector.get_foreign_keys(name)), key=str),
        "unique": sorted((_plain(one) for one in inspector.get_unique_constraints(name)), key=str),
        "checks": sorted((one["name"], _rule(one["sqltext"])) for one in inspector.get_check_constraints(name)),
        "indexes": sorted((_plain(one) for one in inspector.get_indexes(name)), key=str),
    }


def _column(column: Any) -> tuple[Any, ...]:
    default = None if column["default"] is None else re.sub(r"::[a-z ]+", "", column["default"])
    return column["name"], str(column["type"]), column["nullable"], default


def _plain(one: Any) -> dict[str, Any]:
    return {key: value for key, value in one.items() if key not in ("dialect_options", "comment", "options")}


def _rule(text: str) -> str:
    return re.sub(r"\s+", " ", text)
