"""What the clock owes: each occurrence given to one caller, tried again after a failure, set aside at the third."""

from dataclasses import dataclass
from datetime import datetime

import sqlalchemy as sa

from bot.storage import tables
from bot.storage.arrivals import SET_ASIDE_AFTER
from bot.storage.values import instant, ms

OCCURRENCE = tables.metadata.tables["occurrence"]
KEY = (OCCURRENCE.c.club_id, OCCURRENCE.c.member_id, OCCURRENCE.c.kind, OCCURRENCE.c.day)


@dataclass(frozen=True, slots=True)
class DueRow:
    """One claimed occurrence; `day` is the local date, ISO."""

    club: str
    member: str
    kind: str
    day: str


class Owed:
    """The part of a transaction that belongs to the clock."""

    connection: sa.Connection

    def claim_due(self, now: datetime, limit: int = 100) -> tuple[DueRow, ...]:
        """Occurrences that are due, the longest first, each given to one caller only and done with its commit."""
        due = (
            sa.select(*KEY)
            .where(OCCURRENCE.c.state == "planned", OCCURRENCE.c.due_ms <= ms(now))
            .order_by(OCCURRENCE.c.due_ms)
            .limit(limit)
            .with_for_update(skip_locked=True)
        )
        claimed = OCCURRENCE.update().where(sa.tuple_(*KEY).in_(due)).values(state="done")
        rows = self.connection.execute(claimed.returning(*KEY, OCCURRENCE.c.due_ms)).all()
        ordered = sorted(rows, key=lambda row: (row.due_ms, row.club_id, row.member_id, row.kind))
        return tuple(DueRow(row.club_id, row.member_id, row.kind, row.day) for row in ordered)

    def due_failed(self, row: DueRow, why: str, again: datetime) -> bool:
        """Count a failure of a claimed occurrence; it is due again at `again`. True where it is set aside instead."""
        at = tuple(
            column == value for column, value in zip(KEY, (row.club, row.member, row.kind, row.day), strict=True)
        )
        failures: int = self.connection.execute(sa.select(OCCURRENCE.c.failures).where(*at)).scalar_one() + 1
        aside = failures >= SET_ASIDE_AFTER
        state = "aside" if aside else "planned"
        changed = {"failures": failures, "why": why[:500], "state": state, "due_ms": ms(again)}
        self.connection.execute(OCCURRENCE.update().where(*at).values(changed))
        return aside

    def next_due(self) -> datetime | None:
        """When the clock owes something next."""
        soonest = sa.select(sa.func.min(OCCURRENCE.c.due_ms)).where(OCCURRENCE.c.state == "planned")
        found = self.connection.execute(soonest).scalar()
        return None if found is None else instant(found)
