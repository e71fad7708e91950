"""What the tables share: names of constraints, column types, the key to a membership."""

import re
from typing import Any

import sqlalchemy as sa
from sqlmodel import SQLModel

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
SQLModel.metadata.naming_convention = NAMING
metadata = SQLModel.metadata

Json = dict[str, Any]
Maybe = sa.JSON(none_as_null=True)  # a missing value is NULL, not the word null
Big = sa.BigInteger
Counter = sa.BigInteger().with_variant(sa.Integer(), "sqlite")  # SQLite counts only its own integer key

_MARK = "\x1a"  # SUBSTITUTE, which nobody types
_UNFIT = re.compile(f"[\0{_MARK}\ud800-\udfff]")
_ESCAPED = re.compile(f"{_MARK}([0-9a-f]+);")


class Words(sa.types.TypeDecorator[str]):
    """Text of any kind. NUL (which PostgreSQL refuses) and lone surrogates (which are no UTF-8) are escaped."""

    impl = sa.String
    cache_ok = True

    def process_bind_param(self, value: str | None, dialect: sa.Dialect) -> str | None:
        if value is None or not _UNFIT.search(value):
            return value
        return _UNFIT.sub(lambda found: f"{_MARK}{ord(found[0]):x};", value)

    def process_result_value(self, value: str | None, dialect: sa.Dialect) -> str | None:
        if value is None or _MARK not in value:
            return value
        return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), value)


def of_member(*more: sa.Constraint | sa.Index) -> tuple[sa.Constraint | sa.Index, ...]:
    """The composite foreign key to a membership: a row of one club can never point into another."""
    return (sa.ForeignKeyConstraint(["club_id", "member_id"], ["membership.club_id", "membership.id"]), *more)


def one_of(name: str, column: str, *allowed: str) -> sa.CheckConstraint:
    listed = ", ".join(f"'{one}'" for one in allowed)
    return sa.CheckConstraint(f"{column} IN ({listed})", name=name)


def check(name: str, rule: str) -> sa.CheckConstraint:
    return sa.CheckConstraint(rule, name=name)
