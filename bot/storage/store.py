"""A club's store: the book a decision reads, the changes it makes, what it says. Opened for one club.

Every statement here names the club; foreign keys carry it, so a slip cannot reach across.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any

import sqlalchemy as sa

from bot.storage import applying, posting, tables
from bot.storage.inserting import insert_once, upsert
from bot.storage.values import entry_from_row, instant, ms, question_from_row, set_from_row
from core.club import Change, Log, Member, Role
from core.speech import Speech
from core.training import Athlete, BodyMass, Order, Pain, PrescribedSet, Session

ENTRIES_KEPT_AT_HAND = timedelta(days=14)  # before the newest entry; older days are closed to edits

T = tables.metadata.tables


@dataclass(frozen=True, slots=True)
class InviteRow:
    """An invite as the coach sees it."""

    member: str
    expires: datetime
    used: bool
    revoked: bool


class Store:
    """Implements `core.club.Book` within a transaction."""

    def __init__(self, connection: sa.Connection, club_id: str) -> None:
        self._connection, self.club_id = connection, club_id

    # --- the book ----------------------------------------------------------------------------------------

    def roster(self) -> tuple[Member, ...]:
        table = T["membership"]
        rows = self._all(table, order_by=(table.c.name, table.c.id))
        return tuple(_member(row) for row in rows)

    def member(self, member: str) -> Member | None:
        table = T["membership"]
        row = self._connection.execute(sa.select(table).where(*self._at(table), table.c.id == member)).first()
        return None if row is None else _member(row)

    def log(self, member: str) -> Log:
        """Everything on record; KeyError for nobody of this club."""
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
        table = T["membership"]
        query = sa.select(table.c.profile).where(*self._at(table), table.c.id == member)
        profile = self._connection.execute(query).scalar()
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
        table = T["entry"]
        at = (*self._at(table), table.c.member_id == member)
        newest = self._connection.execute(sa.select(sa.func.max(table.c.day)).where(*at)).scalar()
        if newest is None:
            return ()
        oldest = (date.fromisoformat(newest) - ENTRIES_KEPT_AT_HAND).isoformat()
        order = (table.c.written, table.c.written_tie, table.c.revision)
        return self._connection.execute(sa.select(table).where(*at, table.c.day >= oldest).order_by(*order)).all()

    # --- changes and words -------------------------------------------------------------------------------

    def apply(self, changes: Iterable[Change], actor: str, cause: str, now: datetime) -> None:
        """Make each change and note who made it and why."""
        for change in changes:
            applying.apply(self._connection, self.club_id, change, now)
            self.note(type(change).__name__, change.member, actor, cause, now)

    def note(self, change: str, member: str | None, actor: str, cause: str, now: datetime) -> None:
        """A line of the audit."""
        row = {"club_id": self.club_id, "member_id": member, "at_ms": ms(now), "actor": actor, "cause": cause}
        self._connection.execute(T["audit"].insert().values(**row, change=change))

    def post(self, speech: Iterable[Speech], cause: str, now: datetime) -> int:
        """Put what is said into the outbox; how many rows that made."""
        return sum(posting.post(self._connection, self.club_id, one, cause, now) for one in speech)

    # --- members -----------------------------------------------------------------------------------------

    def add_member(self, athlete: Athlete, role: Role = Role.ATHLETE, ward: str | None = None) -> None:
        """A membership with this profile; an existing one keeps its role and gets the new profile."""
        key = {"club_id": self.club_id, "id": athlete.id}
        facts = {"name": athlete.name, "language": athlete.language, "profile": athlete.to_json()}
        insert_once(self._connection, tables.Membership, key | facts | {"role": role.value, "ward": ward})
        upsert(self._connection, tables.Membership, key, facts | {"role": role.value})

    def show_as(self, member: str, name: str | None) -> None:
        """The name an athlete wants shown in the club chat; None: not shown."""
        table = T["membership"]
        at = (*self._at(table), table.c.id == member)
        self._connection.execute(table.update().where(*at).values(shown_as=name))

    def open_chat(self, member: str | None, messenger: str, chat: str, user: str, now: datetime) -> None:
        """This chat is now this member's (None: the club's group)."""
        if member is not None:
            self._join(member, messenger, user, now)
        values = {
            "club_id": self.club_id,
            "member_id": member,
            "kind": "group" if member is None else "direct",
            "open": True,
            "used_ms": ms(now),
        }
        upsert(self._connection, tables.Chat, {"messenger": messenger, "chat": chat}, values)

    def _join(self, member: str, messenger: str, user: str, now: datetime) -> None:
        """The person behind the account is the person behind the membership."""
        table, account = T["membership"], T["account"]
        at = (*self._at(table), table.c.id == member)
        known = self._connection.execute(
            sa.select(account.c.person_id).where(account.c.messenger == messenger, account.c.user == user)
        ).scalar()
        person = self._connection.execute(sa.select(table.c.person_id).where(*at)).scalar() or known
        person = person or f"{self.club_id}.{member}"
        insert_once(self._connection, tables.Person, {"id": person})
        key = {"messenger": messenger, "user": user}
        upsert(self._connection, tables.Account, key, {"person_id": person})
        self._connection.execute(table.update().where(*at).values(person_id=person, joined_ms=ms(now)))

    def chats(self, member: str | None) -> tuple[tuple[str, str], ...]:
        """The open chats of a member (None: the group), the one used last first."""
        return posting.chats(self._connection, self.club_id, member)

    # --- invites, consents, settings ---------------------------------------------------------------------

    def invite(self, code_hash: str, member: str, now: datetime, expires: datetime) -> None:
        """A code for this member; older ones of the same member are revoked."""
        table = T["invite"]
        at = (*self._at(table), table.c.member_id == member, table.c.used_ms.is_(None))
        self._connection.execute(table.update().where(*at).values(revoked=True))
        row = {"code_hash": code_hash, "club_id": self.club_id, "member_id": member}
        self._connection.execute(table.insert().values(**row, created_ms=ms(now), expires_ms=ms(expires)))

    def revoke_invites(self, member: str) -> int:
        """How many open codes of this member no longer work."""
        table = T["invite"]
        at = (*self._at(table), table.c.member_id == member, table.c.used_ms.is_(None), table.c.revoked.is_(False))
        return self._connection.execute(table.update().where(*at).values(revoked=True)).rowcount

    def invites(self) -> tuple[InviteRow, ...]:
        """Every invite, the newest first."""
        table = T["invite"]
        rows = self._all(table, order_by=(table.c.created_ms.desc(),))
        return tuple(
            InviteRow(row.member_id, instant(row.expires_ms), row.used_ms is not None, row.revoked) for row in rows
        )

    def consent(self, member: str, kind: str, now: datetime) -> None:
        key = {"club_id": self.club_id, "member_id": member, "kind": kind}
        upsert(self._connection, tables.Consent, key, {"at_ms": ms(now)})

    def consents(self, member: str) -> frozenset[str]:
        return frozenset(row.kind for row in self._of("consent", member))

    def setting(self, name: str) -> str | None:
        table = T["setting"]
        query = sa.select(table.c.value).where(*self._at(table), table.c.name == name)
        found = self._connection.execute(query).scalar()
        return None if found is None else str(found)

    def set_setting(self, name: str, value: str) -> None:
        upsert(self._connection, tables.Setting, {"club_id": self.club_id, "name": name}, {"value": value})

    def audit(self) -> tuple[tuple[datetime, str, str, str, str | None], ...]:
        """When, who, why, what, about whom; oldest first."""
        table = T["audit"]
        rows = self._all(table, order_by=(table.c.id,))
        return tuple((instant(row.at_ms), row.actor, row.cause, row.change, row.member_id) for row in rows)

    # --- sessions that come from a file, estimates, plans ------------------------------------------------

    def put_session(self, member: str, session: Session, now: datetime) -> None:
        """A session as a file has it, in place of what that day held."""
        applying.put_session(self._connection, self.club_id, member, session, now)

    def put_orders(self, member: str, orders: Iterable[Order]) -> None:
        """These orders in place of all that were."""
        table = T["standing_order"]
        self._connection.execute(table.delete().where(*self._at(table), table.c.member_id == member))
        for number, order in enumerate(orders, start=1):
            key = {"club_id": self.club_id, "member_id": member, "number": number}
            self._connection.execute(table.insert().values(**key, content=order.to_json()))

    def put_bodyweight(self, member: str, mass: BodyMass) -> None:
        key = {"club_id": self.club_id, "member_id": member, "day": mass.day.isoformat()}
        upsert(self._connection, tables.Bodyweight, key, {"mass_g": mass.mass_g})

    def put_kit(self, member: str, since: date, content: dict[str, Any]) -> None:
        key = {"club_id": self.club_id, "member_id": member, "since": since.isoformat()}
        upsert(self._connection, tables.Kit, key, {"content": content})

    def save_checkpoint(self, member: str, exercise: str, day: date, engine: str, inputs: str, content: Any) -> None:
        """The estimate behind all sessions up to `day`."""
        key = {"club_id": self.club_id, "member_id": member, "exercise": exercise, "day": day.isoformat()}
        upsert(self._connection, tables.Checkpoint, key, {"engine": engine, "inputs": inputs, "content": content})

    def checkpoint(self, member: str, exercise: str, before: date, engine: str) -> tuple[date, str, Any] | None:
        """The newest estimate of this engine behind sessions earlier than `before`: its day, inputs and content."""
        table = T["checkpoint"]
        at = (*self._at(table), table.c.member_id == member, table.c.exercise == exercise, table.c.engine == engine)
        query = sa.select(table).where(*at, table.c.day < before.isoformat()).order_by(table.c.day.desc()).limit(1)
        row = self._connection.execute(query).first()
        return None if row is None else (date.fromisoformat(row.day), row.inputs, row.content)

    def plan(self, member: str, kind: str, wanted: dict[date, datetime], first: date) -> None:
        """What is due of this kind from `first` on becomes `wanted`; what was claimed stays claimed."""
        table = T["occurrence"]
        at = (*self._at(table), table.c.member_id == member, table.c.kind == kind, table.c.state == "planned")
        keep = [day.isoformat() for day in wanted]
        gone = (table.c.day >= first.isoformat()) & table.c.day.not_in(keep)
        self._connection.execute(table.delete().where(*at, gone))
        for day, due in wanted.items():
            applying.plan(self._connection, self.club_id, member, kind, day, due)

    def planned(self, member: str) -> dict[tuple[str, date], datetime]:
        """What is planned and not yet claimed, by kind and local date."""
        rows = (row for row in self._of("occurrence", member) if row.state == "planned")
        return {(row.kind, date.fromisoformat(row.day)): instant(row.due_ms) for row in rows}

    # --- helpers -----------------------------------------------------------------------------------------

    def _at(self, table: sa.Table) -> tuple[sa.ColumnElement[bool], ...]:
        return (table.c.club_id == self.club_id,)

    def _all(self, table: sa.Table, order_by: tuple[Any, ...]) -> Any:
        return self._connection.execute(sa.select(table).where(*self._at(table)).order_by(*order_by)).all()

    def _of(self, name: str, member: str, *order_by: str) -> Any:
        table = T[name]
        query = sa.select(table).where(*self._at(table), table.c.member_id == member)
        return self._connection.execute(query.order_by(*(table.c[column] for column in order_by))).all()


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
