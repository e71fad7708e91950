"""What each change does to the rows."""

from datetime import date, datetime
from typing import Any, assert_never

import sqlalchemy as sa

from bot.storage import tables
from bot.storage.inserting import insert_once, upsert
from bot.storage.values import entry_to_row, ms, question_to_row, set_to_row
from core.club import (
    Asked,
    Change,
    Closed,
    DayBecomes,
    DayRecord,
    Heard,
    KitBecomes,
    Lifted,
    Ordered,
    Planned,
    Prescribed,
    ProfileBecomes,
    Told,
    Unplanned,
)
from core.training import Athlete, Order, Session

T = tables.metadata.tables


def apply(connection: sa.Connection, club_id: str, change: Change, now: datetime) -> None:
    """Make one change. Every statement is bound to the club and the change's member."""
    key = {"club_id": club_id, "member_id": change.member}
    match change:
        case Heard():
            insert_once(connection, tables.Entry, key | entry_to_row(change.entry))
        case DayBecomes():
            _day(connection, key, change.day, change.record)
        case Prescribed():
            sets = [one.to_json() for one in change.sets]
            values = {"sets": sets, "advice": change.advice, "given_ms": ms(now)}
            upsert(connection, tables.Prescription, key | {"day": change.day.isoformat()}, values)
        case Asked():
            upsert(connection, tables.Question, key, question_to_row(change.question))
        case Closed():
            table = T["question"]
            connection.execute(table.delete().where(*_at(table, key), table.c.id == change.question))
        case Ordered() | Lifted():
            _order(connection, key, change)
        case ProfileBecomes():
            _profile(connection, key, change.athlete)
        case KitBecomes():
            upsert(connection, tables.Kit, key | {"since": change.day.isoformat()}, {"content": change.kit})
            _forget_estimates(connection, key, change.day)
        case Told():
            insert_once(connection, tables.Told, key | {"code": change.code, "at_ms": ms(now)})
        case Planned():
            plan(connection, club_id, change.member, change.kind.value, change.day, change.due)
        case Unplanned():
            _unplan(connection, key, change)
        case _:
            assert_never(change)


def _at(table: sa.Table, key: dict[str, Any]) -> tuple[sa.ColumnElement[bool], ...]:
    return tuple(table.c[name] == value for name, value in key.items())


def _day(connection: sa.Connection, key: dict[str, Any], day: date, record: DayRecord) -> None:
    pain = record.pain
    at = key | {"day": day.isoformat()}
    values = {
        "skipped": record.skipped,
        "pain": pain is not None,
        "pain_place": None if pain is None else pain.place,
        "pain_score": None if pain is None else pain.score,
        "pain_morning": None if pain is None else pain.morning,
    }
    insert_once(connection, tables.TrainingSession, at | {"id": day.isoformat()} | values)
    connection.execute(T["session"].update().where(*_at(T["session"], at)).values(values))
    connection.execute(T["done_set"].delete().where(*_at(T["done_set"], at)))
    for position, done in enumerate(record.sets):
        connection.execute(T["done_set"].insert().values(**at, position=position, **set_to_row(done)))
    if record.mass_g is None:
        connection.execute(T["bodyweight"].delete().where(*_at(T["bodyweight"], at)))
    else:
        upsert(connection, tables.Bodyweight, at, {"mass_g": record.mass_g})
    _forget_estimates(connection, key, day)
    if pain is not None:
        _hold_back(connection, key)


def _forget_estimates(connection: sa.Connection, key: dict[str, Any], day: date) -> None:
    """Estimates from that day on are replayed from the checkpoint before it."""
    table = T["checkpoint"]
    connection.execute(table.delete().where(*_at(table, key), table.c.day >= day.isoformat()))


def _hold_back(connection: sa.Connection, key: dict[str, Any]) -> None:
    """Pain was reported: a session that still waits to be sent is not sent."""
    table = T["outbox"]
    waits = (table.c.state == "waiting") & table.c.prescribes.is_(True)
    connection.execute(table.update().where(*_at(table, key), waits).values(state="dropped", why="pain was reported"))


def _order(connection: sa.Connection, key: dict[str, Any], change: Ordered | Lifted) -> None:
    from dataclasses import replace

    table = T["standing_order"]
    if isinstance(change, Lifted):
        rows = connection.execute(sa.select(table).where(*_at(table, key))).all()
        for row in rows:
            if Order.from_json(row.content) == change.order:
                content = replace(change.order, until=change.day).to_json()
                at = (*_at(table, key), table.c.number == row.number)
                connection.execute(table.update().where(*at).values(content=content))
        return
    last = connection.execute(sa.select(sa.func.max(table.c.number)).where(*_at(table, key))).scalar()
    connection.execute(table.insert().values(**key, number=(last or 0) + 1, content=change.order.to_json()))


def _profile(connection: sa.Connection, key: dict[str, Any], athlete: Athlete) -> None:
    table = T["membership"]
    at = (table.c.club_id == key["club_id"]) & (table.c.id == key["member_id"])
    facts = {"name": athlete.name, "language": athlete.language, "profile": athlete.to_json()}
    connection.execute(table.update().where(at).values(facts))
    _forget_estimates(connection, key, date.min)


def plan(connection: sa.Connection, club_id: str, member: str, kind: str, day: date, due: datetime) -> None:
    """Due once; a claimed one is not planned again, but a close moves on with each set."""
    key = {"club_id": club_id, "member_id": member, "kind": kind, "day": day.isoformat()}
    insert_once(connection, tables.Occurrence, key | {"due_ms": ms(due), "state": "planned"})
    table = T["occurrence"]
    again = table.c.state == "planned"
    connection.execute(table.update().where(*_at(table, key), again).values(due_ms=ms(due)))


def _unplan(connection: sa.Connection, key: dict[str, Any], change: Unplanned) -> None:
    table = T["occurrence"]
    at = (*_at(table, key), table.c.kind == change.kind.value, table.c.day == change.day.isoformat())
    connection.execute(table.delete().where(*at, table.c.state == "planned"))


def put_session(connection: sa.Connection, club_id: str, member: str, session: Session, now: datetime) -> None:
    """A whole session of a file: record, prescription and id."""
    key = {"club_id": club_id, "member_id": member}
    at = key | {"day": session.day.isoformat()}
    mass = connection.execute(sa.select(T["bodyweight"].c.mass_g).where(*_at(T["bodyweight"], at))).scalar()
    _day(connection, key, session.day, DayRecord(session.sets, session.skipped, session.pain, mass))
    connection.execute(T["session"].update().where(*_at(T["session"], at)).values(id=session.id))
    if session.prescribed:
        sets = [one.to_json() for one in session.prescribed]
        upsert(connection, tables.Prescription, at, {"sets": sets, "advice": {}, "given_ms": ms(now)})
    else:
        connection.execute(T["prescription"].delete().where(*_at(T["prescription"], at)))
