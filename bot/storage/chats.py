"""Chats: whose they are, where they have gone, and strangers who try codes."""

from dataclasses import dataclass
from datetime import datetime

import sqlalchemy as sa

from bot.storage import tables
from bot.storage.inserting import insert_once
from bot.storage.prepared import change, found
from bot.storage.values import ms

MOST_MOVES = 5  # addresses that are followed one after another

CHAT, OUTBOX, SEAT, STRANGER = (tables.metadata.tables[name] for name in ("chat", "outbox", "seat", "stranger"))


@dataclass(frozen=True, slots=True)
class Owner:
    """Whose chat it is; `member` is None for a group."""

    club: str
    member: str | None


class Chats:
    """The part of a transaction that belongs to places and people at the messengers."""

    connection: sa.Connection

    def whose(self, messenger: str, chat: str, sender: str | None = None) -> Owner | None:
        """Whose chat this is, or was until it was closed; None for a stranger's.

        With `sender`: None also where somebody writes in a direct chat who has no seat there.
        """
        for _ in range(MOST_MOVES):
            at = {"messenger": messenger, "chat": chat}
            row = found(self.connection, "chat", at, columns=("club_id", "member_id", "moved_to")).first()
            if row is None:
                return None
            if row.moved_to is None:
                owner = Owner(row.club_id, row.member_id)
                return owner if sender is None or self._may_speak(owner, messenger, chat, sender) else None
            chat = row.moved_to
        return None

    def _may_speak(self, owner: Owner, messenger: str, chat: str, sender: str) -> bool:
        if owner.member is None:
            return True
        mine = {"club_id": owner.club, "member_id": owner.member, "account": sender}
        seat = {"messenger": messenger, "chat": chat, **mine}
        return found(self.connection, "seat", seat, columns=("account",)).first() is not None

    def who(self, club: str, messenger: str, account: str) -> tuple[str, ...]:
        """The members of this club that an account is, in a group for instance."""
        mine = (SEAT.c.club_id == club, SEAT.c.messenger == messenger, SEAT.c.account == account)
        query = sa.select(SEAT.c.member_id).where(*mine).distinct().order_by(SEAT.c.member_id)
        return tuple(self.connection.execute(query).scalars())

    def seats(self, messenger: str, chat: str) -> tuple[Owner, ...]:
        """Everybody who hears in this direct chat: a coach who trains too, or a member of two clubs, is two."""
        query = sa.select(SEAT).where(*_at(SEAT, messenger, chat)).order_by(SEAT.c.club_id, SEAT.c.member_id)
        return tuple(Owner(row.club_id, row.member_id) for row in self.connection.execute(query))

    def speak_as(self, messenger: str, chat: str, owner: Owner) -> bool:
        """What is written in this chat counts for `owner` from now on; False where it has no seat there."""
        if owner not in self.seats(messenger, chat):
            return False
        changed = CHAT.update().where(*_at(CHAT, messenger, chat))
        self.connection.execute(changed.values(club_id=owner.club, member_id=owner.member))
        return True

    def heard_from(self, messenger: str, chat: str, now: datetime) -> None:
        """Answers go to the chat that was used last; who writes hears us again."""
        here = {"messenger": messenger, "chat": chat, "moved_to": None}
        change(self.connection, "chat", here, {"used_ms": ms(now), "open": True})

    def close_chat(self, messenger: str, chat: str) -> Owner | None:
        """Nobody hears us there any more; whose it was, None where it was closed already."""
        closed = CHAT.update().where(*_at(CHAT, messenger, chat), CHAT.c.open.is_(True)).values(open=False)
        row = self.connection.execute(closed.returning(CHAT.c.club_id, CHAT.c.member_id)).first()
        return None if row is None else Owner(row.club_id, row.member_id)

    def move_chat(self, messenger: str, chat: str, to: str) -> None:
        """A group has a new address; what waits for it goes there, and its old messages still find it."""
        row = self.connection.execute(sa.select(CHAT).where(*_at(CHAT, messenger, chat))).first()
        if row is None or chat == to:
            return
        insert_once(self.connection, tables.Chat, dict(row._mapping) | {"chat": to, "moved_to": None})
        self.connection.execute(CHAT.update().where(*_at(CHAT, messenger, chat)).values(open=False, moved_to=to))
        self.connection.execute(SEAT.update().where(*_at(SEAT, messenger, chat)).values(chat=to))
        waits = OUTBOX.c.state.in_(("waiting", "begun"))
        self.connection.execute(OUTBOX.update().where(*_at(OUTBOX, messenger, chat), waits).values(chat=to))

    def stranger(self, messenger: str, chat: str, guessed: bool) -> tuple[int, bool]:
        """Count a stranger's message; how many codes were guessed, and whether its one line is still due."""
        at = _at(STRANGER, messenger, chat)
        row = {"messenger": messenger, "chat": chat, "guesses": 0, "answered": False}
        insert_once(self.connection, tables.Stranger, row)
        known = self.connection.execute(sa.select(STRANGER).where(*at).with_for_update()).one()
        guesses = known.guesses + guessed
        self.connection.execute(STRANGER.update().where(*at).values(guesses=guesses, answered=True))
        return guesses, not known.answered


def _at(table: sa.Table, messenger: str, chat: str) -> tuple[sa.ColumnElement[bool], ...]:
    return table.c.messenger == messenger, table.c.chat == chat
