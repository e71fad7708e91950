"""What is said becomes rows of the outbox, one a chat; a card that still waits is written anew instead."""

from datetime import datetime
from typing import Any, assert_never

import sqlalchemy as sa

from bot.storage import tables
from bot.storage.prepared import add, change, found
from bot.storage.values import button_to_json, ms, phrase_to_json
from core.speech import Audience, React, Say, Speech, ToCoaches, ToGroup, ToMember

T = tables.metadata.tables
OPEN = ("waiting", "begun", "sent", "uncertain")
_CHAT, _SEAT = T["chat"], T["seat"]
_CLUB: sa.BindParameter[str] = sa.bindparam("club")
_OPEN_CHATS = (
    sa.select(_CHAT.c.messenger, _CHAT.c.chat)
    .where(_CHAT.c.open.is_(True))
    .order_by(_CHAT.c.used_ms.desc(), _CHAT.c.messenger, _CHAT.c.chat)
)
_GROUPS = _OPEN_CHATS.where(_CHAT.c.club_id == _CLUB, _CHAT.c.kind == "group")
_SEATED = _OPEN_CHATS.join(_SEAT, (_SEAT.c.messenger == _CHAT.c.messenger) & (_SEAT.c.chat == _CHAT.c.chat)).where(
    _SEAT.c.club_id == _CLUB, _SEAT.c.member_id == sa.bindparam("member")
)
RENEWED = ("lines", "buttons", "picture", "prescribes", "worthless_ms", "written_ms", "cause", "about_id")


def post(
    connection: sa.Connection, club_id: str, speech: Speech, cause: str, now: datetime, about: str | None = None
) -> int:
    """The number of rows that were made or changed."""
    origin = {"club_id": club_id, "about_id": about, "cause": cause, "written_ms": ms(now), "due_ms": ms(now)}
    match speech:
        case React():
            return _react(connection, origin, speech)
        case Say():
            return _say(connection, origin, speech, now)
        case _:
            assert_never(speech)


def chats(connection: sa.Connection, club_id: str, member: str | None) -> tuple[tuple[str, str], ...]:
    """Open chats in which a member has a seat, or the club's groups; the one used last first."""
    query = _GROUPS if member is None else _SEATED
    rows = connection.execute(query, {"club": club_id} | ({} if member is None else {"member": member}))
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


def _say(connection: sa.Connection, origin: dict[str, Any], said: Say, now: datetime) -> int:
    places = _places(connection, origin["club_id"], said.to)
    for member, messenger, chat in places:
        place = {"member_id": member, "messenger": messenger, "chat": chat, "verb": "message"}
        row = origin | place | _content(said) | _when(said, now)
        if said.slot is None or not _on_card(connection, row):
            add(connection, "outbox", row)
    return len(places)


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
    """Whether a row that still waits took this content; else `row` becomes an edit where the card was sent.

    A card that was to ring and has not gone yet still rings, and keeps its turn.
    """
    same = {name: row[name] for name in ("club_id", "member_id", "messenger", "chat", "slot")}
    columns = ("id", "state", "verb", "silent")
    rows = [one for one in found(connection, "outbox", same, ("id",), columns) if one.state in OPEN]
    waiting = [one for one in rows if one.state == "waiting" and one.verb != "reaction"]
    if not waiting:
        row["verb"] = "edit" if any(one.verb == "message" for one in rows) else "message"
        return False
    renewed = {name: row[name] for name in RENEWED} | {"silent": row["silent"] and waiting[-1].silent, "words": None}
    change(connection, "outbox", {"id": waiting[-1].id}, renewed)
    return True


def _react(connection: sa.Connection, origin: dict[str, Any], mark: React) -> int:
    """A mark on a message of the member's; its key is "MESSENGER CHAT ID". Nothing where the chat is not the club's."""
    messenger, chat, message = mark.message.split(" ", 2)
    if not _ours(connection, origin["club_id"], messenger, chat):
        return 0
    place = {"member_id": mark.member, "messenger": messenger, "chat": chat}
    row = origin | place | {"verb": "reaction", "target": message, "lane": "reply", "lines": [], "buttons": []}
    add(connection, "outbox", row)
    return 1


def _ours(connection: sa.Connection, club_id: str, messenger: str, chat: str) -> bool:
    here = {"club_id": club_id, "messenger": messenger, "chat": chat}
    return any(found(connection, table, here, columns=("chat",)).first() is not None for table in ("chat", "seat"))
