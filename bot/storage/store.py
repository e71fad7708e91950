"""A club's store: the book a decision reads, the changes it makes, what it says. Opened for one club.

Every statement here names the club; foreign keys carry it, so a slip cannot reach across.
"""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from bot.storage import applying, erasing, posting
from bot.storage.filing import ClubFiles, Filed
from bot.storage.members import InviteRow
from bot.storage.prepared import add
from bot.storage.values import ms
from core.club import Change
from core.speech import Speech


class Store(ClubFiles):
    """Implements `core.club.Book` within a transaction."""

    def apply(self, changes: Iterable[Change], actor: str, cause: str, now: datetime) -> None:
        """Make each change and note who made it and why."""
        made = tuple(changes)
        for change in made:
            applying.apply(self._connection, self.club_id, change, now)
        add(
            self._connection,
            "audit",
            [self._line(type(change).__name__, change.member, actor, cause, now) for change in made],
        )

    def note(self, change: str, member: str | None, actor: str, cause: str, now: datetime) -> None:
        """A line of the audit."""
        add(self._connection, "audit", self._line(change, member, actor, cause, now))

    def _line(self, change: str, member: str | None, actor: str, cause: str, now: datetime) -> dict[str, Any]:
        row = {"club_id": self.club_id, "member_id": member, "at_ms": ms(now), "actor": actor, "cause": cause}
        return row | {"change": change}

    def post(self, speech: Iterable[Speech], cause: str, now: datetime, about: str | None = None) -> int:
        """Put what is said into the outbox; how many rows that made. `about`: the member whom it concerns."""
        return sum(posting.post(self._connection, self.club_id, one, cause, now, about) for one in speech)

    def erase(self, member: str, actor: str, now: datetime) -> dict[str, int]:
        """Delete everything about a member; how many rows of which table. KeyError for nobody of this club."""
        counts = erasing.erase(self._connection, self.club_id, member, now)
        self.note("Erased", None, "" if actor == member else actor, "", now)
        return counts


__all__ = ["Filed", "InviteRow", "Store"]
