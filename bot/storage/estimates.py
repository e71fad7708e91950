"""Estimates behind sessions, and what the clock owes a member."""

from datetime import date, datetime
from typing import Any

import sqlalchemy as sa

from bot.storage import applying, tables
from bot.storage.inserting import upsert
from bot.storage.rows import ClubRows, T
from bot.storage.values import instant


class ClubEstimates(ClubRows):
    """Checkpoints and plans."""

    def save_checkpoint(self, member: str, exercise: str, day: date, engine: str, inputs: str, content: Any) -> None:
        """The estimate behind all sessions up to `day`, by this engine from these inputs (a hash)."""
        key = self._key(member, exercise=exercise, day=day.isoformat())
        upsert(self._connection, tables.Checkpoint, key, {"engine": engine, "inputs": inputs, "content": content})

    def checkpoint(self, member: str, exercise: str, before: date, engine: str) -> tuple[date, str, Any] | None:
        """The newest estimate of this engine behind sessions earlier than `before`: its day, inputs and content."""
        table = T["checkpoint"]
        same = (table.c.exercise == exercise, table.c.engine == engine, table.c.day < before.isoformat())
        query = sa.select(table).where(*self._at(table, member), *same).order_by(table.c.day.desc()).limit(1)
        row = self._connection.execute(query).first()
        return None if row is None else (date.fromisoformat(row.day), row.inputs, row.content)

    def forget_checkpoints(self, member: str, since: date) -> None:
        """Estimates from that day on are worked out anew from the one before it."""
        applying.forget_estimates(self._connection, self._key(member), since)

    def plan(self, member: str, kind: str, wanted: dict[date, datetime], first: date) -> None:
        """What is due of this kind from `first` on becomes `wanted`; what was claimed stays claimed."""
        table = T["occurrence"]
        at = (*self._at(table, member), table.c.kind == kind, table.c.state == "planned")
        keep = [day.isoformat() for day in wanted]
        gone = (table.c.day >= first.isoformat()) & table.c.day.not_in(keep)
        self._connection.execute(table.delete().where(*at, gone))
        for day, due in wanted.items():
            applying.plan(self._connection, self._key(member, kind=kind, day=day.isoformat()), due)

    def planned(self, member: str) -> dict[tuple[str, date], datetime]:
        """What is planned and not yet claimed, by kind and local date."""
        rows = (row for row in self._of("occurrence", member) if row.state == "planned")
        return {(row.kind, date.fromisoformat(row.day)): instant(row.due_ms) for row in rows}
