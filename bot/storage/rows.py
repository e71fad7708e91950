"""What every part of a club's store stands on: the connection, the club, and queries that always name it."""

from typing import Any

import sqlalchemy as sa

from bot.storage import tables
from bot.storage.prepared import found

T = tables.metadata.tables


class ClubRows:
    """Bound to one club within one transaction."""

    def __init__(self, connection: sa.Connection, club_id: str) -> None:
        self._connection, self.club_id = connection, club_id

    def _at(self, table: sa.Table, member: str | None = None) -> tuple[sa.ColumnElement[bool], ...]:
        """The rows of this club, or of one member of it."""
        mine = (table.c.club_id == self.club_id,)
        return mine if member is None else (*mine, table.c.member_id == member)

    def _key(self, member: str, **more: Any) -> dict[str, Any]:
        return {"club_id": self.club_id, "member_id": member, **more}

    def _all(self, name: str, *order_by: Any) -> Any:
        return self._connection.execute(sa.select(T[name]).where(*self._at(T[name])).order_by(*order_by)).all()

    def _of(self, name: str, member: str, *order_by: str) -> Any:
        return found(self._connection, name, self._key(member), order_by).all()

    def _membership(self, member: str) -> tuple[sa.ColumnElement[bool], ...]:
        """The row of one member."""
        table = T["membership"]
        return table.c.club_id == self.club_id, table.c.id == member
