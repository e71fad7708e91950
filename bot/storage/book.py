"""The book that a decision reads: who is in the club, and all that is on record about one of them."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Any

import sqlalchemy as sa

from bot.storage.prepared import found
from bot.storage.rows import ClubRows, T
from bot.storage.values import entry_from_row, instant, question_from_row, set_from_row
from core.club import Log, Member, Role
from core.orders import Order
from core.training import Athlete, BodyMass, Pain, PrescribedSet, Session

ENTRIES_KEPT_AT_HAND = timedelta(days=14)  # before the newest entry; older days are closed to edits

_MEMBERSHIP, _ENTRY = T["membership"], T["entry"]
_CLUB: sa.BindParameter[str] = sa.bindparam("club")
_MEMBER: sa.BindParameter[str] = sa.bindparam("member")
_PROFILE = sa.select(_MEMBERSHIP.c.profile).where(_MEMBERSHIP.c.club_id == _CLUB, _MEMBERSHIP.c.id == _MEMBER)
_PROFILE_LOCKED = _PROFILE.with_for_update(key_share=True)  # rows that refer to it may still be written by others
_OWN_ENTRIES = (_ENTRY.c.club_id == _CLUB, _ENTRY.c.member_id == _MEMBER)
_NEWEST_ENTRY = sa.select(sa.func.max(_ENTRY.c.day)).where(*_OWN_ENTRIES)
_ENTRIES_SINCE = (
    sa.select(_ENTRY)
    .where(*_OWN_ENTRIES, _ENTRY.c.day >= sa.bindparam("first"))
    .order_by(_ENTRY.c.written, _ENTRY.c.written_tie, _ENTRY.c.message, _ENTRY.c.revision)
)


class ClubBook(ClubRows):
    """Implements `core.club.Book`."""

    def roster(self) -> tuple[Member, ...]:
        table = T["membership"]
        return tuple(_member(row) for row in self._all("membership", table.c.name, table.c.id))

    def member(self, member: str) -> Member | None:
        row = found(self._connection, "membership", {"club_id": self.club_id, "id": member}).first()
        return None if row is None else _member(row)

    def members_called(self, name: str) -> tuple[Member, ...]:
        """Everybody of this name, letter case aside; an id is a name too, and unmistakable."""
        one = self.member(name)
        if one is not None:
            return (one,)
        wanted = name.strip().casefold()
        return tuple(one for one in self.roster() if one.name.casefold() == wanted)

    def log(self, member: str) -> Log:
        """Everything on record; KeyError for nobody of this club.

        In a writing transaction the member's row is locked until the commit, so that two chats of one person, or a
        chat and the clock, never decide from the same record at once.
        """
        profile = self._profile(member)
        question = self._of("question", member)
        return Log(
            athlete=profile,
            kits=tuple((date.fromisoformat(row.since), row.content) for row in self._of("kit", member, "since")),
            bodyweights=tuple(
                BodyMass(date.fromisoformat(row.day), row.mass_g) for row in self._of("bodyweight", member, "day")
            ),
            sessions=self._sessions(member),
            orders=tuple(Order.from_json(row.content) for row in self._of("standing_order", member, "number")),
            entries=tuple(entry_from_row(row) for row in self._recent_entries(member)),
            question=question_from_row(question[0]) if question else None,
            told=frozenset(row.code for row in self._of("told", member)),
        )

    def _profile(self, member: str) -> Athlete:
        write = self._connection.get_execution_options().get("plimsoll_write", True)
        query = _PROFILE_LOCKED if write else _PROFILE
        profile = self._connection.execute(query, {"club": self.club_id, "member": member}).scalar()
        if profile is None:
            raise KeyError(member)
        return Athlete.from_json(profile)

    def _sessions(self, member: str) -> tuple[Session, ...]:
        sets: dict[str, list[Any]] = {}
        for row in self._of("done_set", member, "day", "position"):
            sets.setdefault(row.day, []).append(set_from_row(row))
        planned = {row.day: row.sets for row in self._of("prescription", member)}
        known = {row.day: row for row in self._of("session", member)}
        return tuple(
            _session(day, known.get(day), sets.get(day, []), planned.get(day, []))
            for day in sorted(known.keys() | planned.keys())
        )

    def _recent_entries(self, member: str) -> Iterable[Any]:
        at = {"club": self.club_id, "member": member}
        newest = self._connection.execute(_NEWEST_ENTRY, at).scalar()
        if newest is None:
            return ()
        oldest = date.fromisoformat(newest).toordinal() - ENTRIES_KEPT_AT_HAND.days
        first = date.fromordinal(max(oldest, 1)).isoformat()
        return self._connection.execute(_ENTRIES_SINCE, at | {"first": first}).all()

    def advice(self, member: str, day: date) -> dict[str, Any] | None:
        """The whole answer of the engine behind the session of a day; None where none was given."""
        table = T["prescription"]
        query = sa.select(table.c.advice).where(*self._at(table, member), table.c.day == day.isoformat())
        advice: dict[str, Any] | None = self._connection.execute(query).scalar()
        return advice

    def audit(self) -> tuple[tuple[datetime, str, str, str, str | None], ...]:
        """When, who, why, what, about whom; oldest first."""
        rows = self._all("audit", T["audit"].c.id)
        return tuple((instant(row.at_ms), row.actor, row.cause, row.change, row.member_id) for row in rows)


def _member(row: Any) -> Member:
    return Member(
        id=row.id,
        name=row.name,
        role=Role(row.role),
        language=row.language,
        ward=row.ward,
        shown_as=row.shown_as,
        joined=None if row.joined_ms is None else instant(row.joined_ms),
    )


def _session(day: str, row: Any, sets: list[Any], planned: list[Any]) -> Session:
    session = Session(
        id=day if row is None else row.id,
        day=date.fromisoformat(day),
        sets=tuple(sets),
        prescribed=tuple(PrescribedSet.from_json(one) for one in planned),
    )
    if row is None:
        return session
    pain = Pain(row.pain_place, row.pain_score, row.pain_morning) if row.pain else None
    return replace(session, skipped=row.skipped, pain=pain)
