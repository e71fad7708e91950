"""What each change does to the rows."""

from dataclasses import replace
from datetime import date, datetime
from typing import Any, assert_never

import sqlalchemy as sa

from bot.storage import tables
from bot.storage.inserting import insert_once, upsert
from bot.storage.leaving import cut_off
from bot.storage.prepared import add, found, remove
from bot.storage.prepared import change as change_rows
from bot.storage.values import entry_to_row, ms, question_to_row, set_to_row
from core.club import (
    Asked,
    Change,
    Closed,
    DayBecomes,
    DayRecord,
    DueKind,
    Heard,
    KitBecomes,
    Lifted,
    Ordered,
    Planned,
    Prescribed,
    ProfileBecomes,
    Revoked,
    Told,
    Unplanned,
)
from core.orders import Order
from core.training import Athlete

T = tables.metadata.tables
TIMERS = (DueKind.REST, DueKind.CLOSE)

_CHECKPOINT = T["checkpoint"]
FORGET = _CHECKPOINT.delete().where(
    _CHECKPOINT.c.club_id == sa.bindparam("club"),
    _CHECKPOINT.c.member_id == sa.bindparam("member"),
    _CHECKPOINT.c.day >= sa.bindparam("day"),
)


def apply(connection: sa.Connection, club_id: str, change: Change, now: datetime) -> None:
    """Make one change. Every statement is bound to the club and the change's member.

    Nobody of this club: the database refuses what is inserted, and an update or a delete finds nothing.
    """
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
            remove(connection, "question", key | {"id": change.question})
        case Ordered():
            _order(connection, key, change.order)
        case Lifted():
            _lift(connection, key, change)
        case ProfileBecomes():
            _profile(connection, key, change.athlete)
        case KitBecomes():
            upsert(connection, tables.Kit, key | {"since": change.day.isoformat()}, {"content": change.kit})
            forget_estimates(connection, key, change.day)
        case Told():
            insert_once(connection, tables.Told, key | {"code": change.code, "at_ms": ms(now)})
        case Planned():
            plan(connection, key | {"kind": change.kind.value, "day": change.day.isoformat()}, change.due)
        case Unplanned():
            _unplan(connection, key, change)
        case Revoked():
            cut_off(connection, club_id, change.member)
        case _:
            assert_never(change)


def _at(table: sa.Table, key: dict[str, Any]) -> tuple[sa.ColumnElement[bool], ...]:
    return tuple(table.c[name] == value for name, value in key.items())


def _day(connection: sa.Connection, key: dict[str, Any], day: date, record: DayRecord) -> None:
    at = key | {"day": day.isoformat()}
    if put_record(connection, at, record):
        _hold_back(connection, key)
    if record.mass_g is None:
        remove(connection, "bodyweight", at)
    else:
        upsert(connection, tables.Bodyweight, at, {"mass_g": record.mass_g})
    forget_estimates(connection, key, day)


def put_record(connection: sa.Connection, at: dict[str, Any], record: DayRecord, name: str | None = None) -> bool:
    """Sets, skip and pain of one day in place of what was; `name`: the session's id. Whether its pain is new."""
    pain = {
        "pain": record.pain is not None,
        "pain_place": None if record.pain is None else record.pain.place,
        "pain_score": None if record.pain is None else record.pain.score,
        "pain_morning": None if record.pain is None else record.pain.morning,
    }
    before = found(connection, "session", at).first()
    values = pain | {"skipped": record.skipped}
    if before is None:
        _insert_session(connection, at | values, at["day"] if name is None else name)
    else:
        change_rows(connection, "session", at, values)
        remove(connection, "done_set", at)
    add(
        connection,
        "done_set",
        [at | {"position": position} | set_to_row(done) for position, done in enumerate(record.sets)],
    )
    known = {} if before is None else {name: before._mapping[name] for name in pain}
    return record.pain is not None and known != pain


def _insert_session(connection: sa.Connection, row: dict[str, Any], name: str) -> None:
    """A session's id is unique for its athlete: where a file has used the day's, ours is the next that is free."""
    owner = {"club_id": row["club_id"], "member_id": row["member_id"]}
    free, number = name, 1
    while found(connection, "session", owner | {"id": free}, columns=("day",)).first() is not None:
        number += 1
        free = f"{name}/{number}"
    add(connection, "session", row | {"id": free})


def forget_estimates(connection: sa.Connection, key: dict[str, Any], day: date) -> None:
    """Estimates from that day on are replayed from the checkpoint before it."""
    connection.execute(FORGET, {"club": key["club_id"], "member": key["member_id"], "day": day.isoformat()})


def _hold_back(connection: sa.Connection, key: dict[str, Any]) -> None:
    """Pain was reported: a session that still waits to be sent is not sent."""
    table = T["outbox"]
    waits = (table.c.state == "waiting") & table.c.prescribes.is_(True)
    connection.execute(table.update().where(*_at(table, key), waits).values(state="dropped", why="pain was reported"))


def _order(connection: sa.Connection, key: dict[str, Any], order: Order) -> None:
    table = T["standing_order"]
    last = connection.execute(sa.select(sa.func.max(table.c.number)).where(*_at(table, key))).scalar()
    connection.execute(table.insert().values(**key, number=(last or 0) + 1, content=order.to_json()))


def _lift(connection: sa.Connection, key: dict[str, Any], lifted: Lifted) -> None:
    """The order ends with that day; one that ends earlier is left as it is."""
    table = T["standing_order"]
    for row in connection.execute(sa.select(table).where(*_at(table, key))).all():
        order = Order.from_json(row.content)
        if order == lifted.order and (order.until is None or order.until > lifted.day):
            ended = replace(order, until=lifted.day).to_json()
            connection.execute(table.update().where(*_at(table, key | {"number": row.number})).values(content=ended))


def _profile(connection: sa.Connection, key: dict[str, Any], athlete: Athlete) -> None:
    table = T["membership"]
    at = (table.c.club_id == key["club_id"]) & (table.c.id == key["member_id"])
    facts = {"name": athlete.name, "language": athlete.language, "profile": athlete.to_json()}
    connection.execute(table.update().where(at).values(facts))
    forget_estimates(connection, key, date.min)


def plan(connection: sa.Connection, key: dict[str, Any], due: datetime) -> None:
    """Due once a kind and local date. What was claimed is not planned again, but a timer restarts with each set."""
    table = T["occurrence"]
    if insert_once(connection, tables.Occurrence, key | {"due_ms": ms(due), "state": "planned"}):
        return
    ready = table.c.state == "planned"
    if key["kind"] in TIMERS:
        ready |= table.c.due_ms < ms(due)
    changed = table.update().where(*_at(table, key), ready)
    connection.execute(changed.values(due_ms=ms(due), state="planned", failures=0))


def _unplan(connection: sa.Connection, key: dict[str, Any], change: Unplanned) -> None:
    at = {"kind": change.kind.value, "day": change.day.isoformat(), "state": "planned"}
    remove(connection, "occurrence", key | at)
