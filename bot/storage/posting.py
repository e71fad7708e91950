"""What is said becomes rows of the outbox, one a chat; a card that still waits is written anew instead."""

from datetime import datetime
from typing import Any, assert_never

import sqlalchemy as sa

from bot.storage import tables
from bot.storage.values import button_to_json, ms, phrase_to_json
from core.speech import Audience, React, Say, Speech, ToCoaches, ToGroup, ToMember

T = tables.metadata.tables
OPEN = ("waiting", "begun", "sent", "uncertain")


def post(connection: sa.Connection, club_id: str, speech: Speech, cause: str, now: datetime) -> int:
    """The number of rows that were made or changed."""
    match speech:
        case React():
            return _react(connection, club_id, speech, cause, now)
        case Say():
            return _say(connection, club_id, speech, cause, now)
        case _:
            assert_never(speech)


def chats(connection: sa.Connection, club_id: str, member: str | None) -> tuple[tuple[str, str], ...]:
    """Open chats of a member, or the club's groups; the one used last first."""
    table = T["chat"]
    whose = table.c.member_id.is_(None) if member is None else table.c.member_id == member
    rows = connection.execute(
        sa.select(table.c.messenger, table.c.chat)
        .where(table.c.club_id == club_id, whose, table.c.open.is_(True))
        .order_by(table.c.used_ms.desc(), table.c.messenger, table.c.chat)
    )
    return tuple((row.messenger, row.chat) for row in rows)


def _places(connection: sa.Connection, club_id: str, to: Audience) -> list[tuple[str | None, str, str]]:
    """(member, messenger, chat): a member hears in the chat used last, a group in each of its chats."""
    match to:
        case ToMember(member=member):
            return [(member, *place) for place in chats(connection, club_id, member)[:1]]
        case ToCoaches():
            table = T["membership"]
            query = (
                sa.select(table.c.id).where(table.c.club_id == club_id, table.c.role == "coach").order_by(table.c.id)
            )
            found = connection.execute(query).scalars().all()
            return [(one, *place) for one in found for place in chats(connection, club_id, one)[:1]]
        case ToGroup():
            return [(None, *place) for place in chats(connection, club_id, None)]
        case _:
            assert_never(to)


def _say(connection: sa.Connection, club_id: str, said: Say, cause: str, now: datetime) -> int:
    places = _places(connection, club_id, said.to)
    for member, messenger, chat in places:
        row = _row(club_id, member, messenger, chat, cause, now) | _content(said) | _when(said, now)
        if said.slot is None or not _on_card(connection, row):
            connection.execute(T["outbox"].insert().values(**row))
    return len(places)


def _row(club_id: str, member: str | None, messenger: str, chat: str, cause: str, now: datetime) -> dict[str, Any]:
    place = {"club_id": club_id, "member_id": member, "messenger": messenger, "chat": chat}
    return place | {"verb": "message", "lane": "reply", "written_ms": ms(now), "due_ms": ms(now), "cause": cause}


def _content(said: Say) -> dict[str, Any]:
    return {
        "lines": [phrase_to_json(one) for one in said.lines],
        "buttons": [button_to_json(one) for one in said.buttons],
        "picture": said.picture,
        "silent": said.silent,
    }


def _when(said: Say, now: datetime) -> dict[str, Any]:
    due = now if said.not_before is None else max(now, said.not_before)
    return {
        "lane": said.lane.value,
        "slot": said.slot,
        "prescribes": said.prescribes,
        "due_ms": ms(due),
        "worthless_ms": None if said.worthless_after is None else ms(said.worthless_after),
    }


def _on_card(connection: sa.Connection, row: dict[str, Any]) -> bool:
    """Whether a row that still waits took these words; else `row` becomes an edit where the card was sent."""
    table = T["outbox"]
    same = sa.and_(*(table.c[name] == row[name] for name in ("club_id", "member_id", "messenger", "chat", "slot")))
    rows = connection.execute(
        sa.select(table.c.id, table.c.state, table.c.verb).where(same, table.c.state.in_(OPEN)).order_by(table.c.id)
    ).all()
    waiting = [one.id for one in rows if one.state == "waiting"]
    if waiting:
        words = {name: row[name] for name in ("lines", "buttons", "written_ms", "cause")}
        connection.execute(table.update().where(table.c.id == waiting[-1]).values(**words, words=sa.null()))
        return True
    if any(one.verb == "message" for one in rows):
        row["verb"] = "edit"
    return False


def _react(connection: sa.Connection, club_id: str, mark: React, cause: str, now: datetime) -> int:
    """A mark on a message; its key is "MESSENGER CHAT ID"."""
    messenger, chat, message = mark.message.split(" ", 2)
    row = _row(club_id, mark.member, messenger, chat, cause, now) | {"verb": "reaction", "target": message}
    connection.execute(T["outbox"].insert().values(**row, lines=[], buttons=[]))
    return 1
