"""Everything about a member, gone: record, readings, estimates, chats, inbox, outbox, invites, names in the audit.

A hash stays, to be replayed on a restored backup. What was deleted on disk is overwritten by `Database.scrub`.
"""

import json
import re
from collections.abc import Collection
from datetime import datetime
from hashlib import sha256
from typing import Any

import sqlalchemy as sa

from bot.storage import tables
from bot.storage.inserting import insert_once
from bot.storage.values import instant, ms

T = tables.metadata.tables
APART = ("membership", "chat", "outbox", "audit")  # deleted by rules of their own


class Erasures:
    """The part of a transaction that belongs to erasing."""

    connection: sa.Connection

    def erasures(self) -> tuple[tuple[str, datetime], ...]:
        """Whom we have erased, as hashes, to be kept beside the backups."""
        rows = self.connection.execute(sa.select(T["erasure"]).order_by(T["erasure"].c.at_ms))
        return tuple((row.subject_hash, instant(row.at_ms)) for row in rows)

    def replay_erasures(self, hashes: Collection[str], now: datetime) -> int:
        """Erase again whom a restored backup has brought back; how many."""
        table = T["membership"]
        rows = self.connection.execute(sa.select(table.c.club_id, table.c.id, table.c.created_ms)).all()
        back = [row for row in rows if subject_hash(row.club_id, row.id, row.created_ms) in hashes]
        for row in back:
            if self.connection.execute(sa.select(table.c.id).where(*_membership(row.club_id, row.id))).first():
                erase(self.connection, row.club_id, row.id, now)
        return len(back)


def subject_hash(club_id: str, member: str, created_ms: int) -> str:
    """Tells a member again in an old backup, but not somebody of the same id who joined later."""
    return sha256(f"{club_id}\n{member}\n{created_ms}".encode("utf-8", "surrogatepass")).hexdigest()


def erase(connection: sa.Connection, club_id: str, member: str, now: datetime) -> dict[str, int]:
    """Delete; how many rows of which table. A guardian goes with the athlete. KeyError for nobody of this club."""
    table = T["membership"]
    row = connection.execute(sa.select(table).where(*_membership(club_id, member))).first()
    if row is None:
        raise KeyError(member)
    counts: dict[str, int] = {}
    wards = sa.select(table.c.id).where(table.c.club_id == club_id, table.c.ward == member)
    for guardian in connection.execute(wards).scalars().all():
        _add(counts, erase(connection, club_id, guardian, now))
    chats = _own_chats(connection, club_id, member)
    _group_messages(connection, club_id, member, counts)
    _outbox(connection, club_id, row, chats, counts)
    _audit(connection, club_id, row, chats, counts)
    _members_rows(connection, club_id, member, counts)
    _chats(connection, club_id, member, chats, counts)
    _count(connection, counts, "membership", _membership(club_id, member))
    _person(connection, row.person_id, counts)
    gone = {"subject_hash": subject_hash(club_id, member, row.created_ms), "at_ms": ms(now)}
    insert_once(connection, tables.Erasure, gone)
    return counts


def _membership(club_id: str, member: str) -> tuple[sa.ColumnElement[bool], ...]:
    return T["membership"].c.club_id == club_id, T["membership"].c.id == member


def _add(counts: dict[str, int], more: dict[str, int]) -> None:
    for name, number in more.items():
        counts[name] = counts.get(name, 0) + number


def _count(connection: sa.Connection, counts: dict[str, int], name: str, where: tuple[Any, ...]) -> None:
    number = connection.execute(T[name].delete().where(*where)).rowcount
    if number:
        _add(counts, {name: number})


def _own_chats(connection: sa.Connection, club_id: str, member: str) -> list[tuple[str, str]]:
    """Direct chats in which nobody else has a seat, at their old addresses too."""
    seat, chat = T["seat"], T["chat"]
    mine = (seat.c.club_id == club_id) & (seat.c.member_id == member)
    places = [(row.messenger, row.chat) for row in connection.execute(sa.select(seat).where(mine))]
    others = {(row.messenger, row.chat) for row in connection.execute(sa.select(seat).where(sa.not_(mine)))}
    spoken = sa.select(chat).where(chat.c.club_id == club_id, chat.c.member_id == member)
    places += [(row.messenger, row.chat) for row in connection.execute(spoken)]
    return [place for place in dict.fromkeys(places) if place not in others]


def _group_messages(connection: sa.Connection, club_id: str, member: str, counts: dict[str, int]) -> None:
    """What the member's accounts wrote in groups and is not decided yet; afterwards only its key is kept anyway."""
    seat, chat, inbox = T["seat"], T["chat"], T["inbox"]
    mine = (seat.c.club_id == club_id) & (seat.c.member_id == member)
    accounts = {(row.messenger, row.account) for row in connection.execute(sa.select(seat).where(mine))}
    groups = (chat.c.club_id == club_id) & (chat.c.kind == "group")
    there = (inbox.c.messenger == chat.c.messenger) & (inbox.c.chat == chat.c.chat) & (inbox.c.state != "handled")
    rows = connection.execute(sa.select(inbox).join(chat, there).where(groups)).all()
    for row in rows:
        if (row.messenger, row.envelope.get("sender")) in accounts:
            _count(connection, counts, "inbox", (inbox.c.id == row.id,))


def _outbox(
    connection: sa.Connection, club_id: str, row: Any, chats: list[tuple[str, str]], counts: dict[str, int]
) -> None:
    """What was said to the member, about the member, or names the member, to whomever."""
    table = T["outbox"]
    named = _finder([row.name, row.shown_as, *(chat for _, chat in chats)])
    content = (table.c.lines, table.c.buttons, table.c.words, table.c.picture, table.c.cause, table.c.slot, table.c.why)
    query = sa.select(table.c.id, table.c.member_id, table.c.about_id, table.c.chat, *content)
    own = {chat for _, chat in chats}
    for said in connection.execute(query.where(table.c.club_id == club_id)).all():
        whole = json.dumps([said._mapping[column.name] for column in content], ensure_ascii=False)
        if row.id in (said.member_id, said.about_id) or said.chat in own or named.search(whole):
            _count(connection, counts, "outbox", (table.c.id == said.id,))


def _finder(words: Collection[str | None]) -> "re.Pattern[str]":
    """Finds any of the words, standing alone, as they look inside JSON."""
    shown = {json.dumps(word, ensure_ascii=False)[1:-1] for word in words if word and word.strip()}
    either = "|".join(re.escape(word) for word in sorted(shown))
    return re.compile(rf"(?<!\w)(?:{either})(?!\w)" if either else r"(?!)", re.IGNORECASE)


def _audit(
    connection: sa.Connection, club_id: str, row: Any, chats: list[tuple[str, str]], counts: dict[str, int]
) -> None:
    """The member's own changes, and those whose cause names the member or one of the member's chats."""
    table = T["audit"]
    named = _finder([row.name, row.shown_as, *(chat for _, chat in chats)])
    mine = (table.c.member_id == row.id) | (table.c.actor == row.id)
    _count(connection, counts, "audit", (table.c.club_id == club_id, mine))
    left = sa.select(table.c.id, table.c.cause).where(table.c.club_id == club_id)
    for line in connection.execute(left).all():
        if named.search(line.cause):
            _count(connection, counts, "audit", (table.c.id == line.id,))


def _members_rows(connection: sa.Connection, club_id: str, member: str, counts: dict[str, int]) -> None:
    """Every other table that knows members, those first that refer to others."""
    for table in reversed(tables.metadata.sorted_tables):
        if table.name not in APART and {"club_id", "member_id"} <= set(table.c.keys()):
            _count(connection, counts, table.name, (table.c.club_id == club_id, table.c.member_id == member))


def _chats(
    connection: sa.Connection, club_id: str, member: str, own: list[tuple[str, str]], counts: dict[str, int]
) -> None:
    """The member's own chats with all that arrived there; a shared one goes to whoever else has a seat."""
    for messenger, chat in own:
        for name in ("inbox", "conversation", "stranger", "chat"):
            at = (T[name].c.messenger == messenger, T[name].c.chat == chat)
            _count(connection, counts, name, at)
    seat, table = T["seat"], T["chat"]
    spoken = (table.c.club_id == club_id) & (table.c.member_id == member)
    for place in connection.execute(sa.select(table).where(spoken)).all():
        there = (seat.c.messenger == place.messenger) & (seat.c.chat == place.chat)
        other = connection.execute(sa.select(seat).where(there).limit(1)).one()
        at = (table.c.messenger == place.messenger) & (table.c.chat == place.chat)
        taken = table.update().where(at).values(club_id=other.club_id, member_id=other.member_id)
        connection.execute(taken)


def _person(connection: sa.Connection, person: str | None, counts: dict[str, int]) -> None:
    """The person and the accounts, where no other membership is left."""
    if person is None:
        return
    table = T["membership"]
    if connection.execute(sa.select(table.c.id).where(table.c.person_id == person).limit(1)).first() is None:
        _count(connection, counts, "account", (T["account"].c.person_id == person,))
        _count(connection, counts, "person", (T["person"].c.id == person,))
