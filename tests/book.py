"""A club in a dictionary: what the store must do with each change, written the plainest way. An oracle for it."""

from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import assert_never

from core.club import (
    Asked,
    Change,
    Closed,
    DayBecomes,
    DueKind,
    Heard,
    KitBecomes,
    Lifted,
    Log,
    Member,
    Ordered,
    Planned,
    Prescribed,
    ProfileBecomes,
    Revoked,
    Told,
    Unplanned,
)
from core.orders import Order
from core.training import BodyMass, Session


@dataclass
class MemoryBook:
    """Implements `core.club.Book`; `apply` takes the changes of an outcome."""

    members: dict[str, Member]
    logs: dict[str, Log]
    planned: dict[tuple[str, DueKind, date], datetime] = field(default_factory=dict)

    def roster(self) -> tuple[Member, ...]:
        return tuple(self.members.values())

    def member(self, member: str) -> Member | None:
        return self.members.get(member)

    def log(self, member: str) -> Log:
        return self.logs[member]

    def apply(self, changes: tuple[Change, ...]) -> None:
        for change in changes:
            if isinstance(change, Planned):
                self.planned[change.member, change.kind, change.day] = change.due
            elif isinstance(change, Unplanned):
                self.planned.pop((change.member, change.kind, change.day), None)
            else:
                self.logs[change.member] = changed(self.logs[change.member], change)


def changed(log: Log, change: Change) -> Log:
    """The log after one change that is about the log."""
    match change:
        case Heard(entry=entry):
            return replace(log, entries=(*log.entries, entry))
        case DayBecomes(day=day, record=record):
            session = log.session(day) or Session(id=day.isoformat(), day=day)
            session = replace(session, sets=record.sets, skipped=record.skipped, pain=record.pain)
            log = _with_session(log, session)
            masses = tuple(one for one in log.bodyweights if one.day != day)
            if record.mass_g is not None:
                masses = (*masses, BodyMass(day, record.mass_g))
            return replace(log, bodyweights=tuple(sorted(masses, key=lambda one: one.day)))
        case Prescribed(day=day, sets=sets):
            session = log.session(day) or Session(id=day.isoformat(), day=day)
            return _with_session(log, replace(session, prescribed=sets))
        case Asked(question=question):
            return replace(log, question=question)
        case Closed(question=question_id):
            open_one = log.question is not None and log.question.id == question_id
            return replace(log, question=None) if open_one else log
        case Ordered(order=order):
            return replace(log, orders=(*log.orders, order))
        case Lifted(order=order, day=day):
            return replace(log, orders=tuple(_ended(one, day) if one == order else one for one in log.orders))
        case ProfileBecomes(athlete=athlete):
            return replace(log, athlete=athlete)
        case KitBecomes(day=day, kit=kit):
            kits = dict(log.kits) | {day: kit}
            return replace(log, kits=tuple(sorted(kits.items())))
        case Told(code=code):
            return replace(log, told=log.told | {code})
        case Planned() | Unplanned() | Revoked():
            return log
        case _:
            assert_never(change)


def _with_session(log: Log, session: Session) -> Log:
    others = tuple(one for one in log.sessions if one.day != session.day)
    return replace(log, sessions=tuple(sorted((*others, session), key=lambda one: one.day)))


def _ended(order: Order, day: date) -> Order:
    return order if order.until is not None and order.until <= day else replace(order, until=day)
