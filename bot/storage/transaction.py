"""One transaction, with the doors that belong to no club: inbox, conversations, chats, clock, clubs, invites.

What is a club's own is reached through `club(id)` only.
"""

from collections.abc import Callable
from datetime import datetime

import sqlalchemy as sa

from bot.storage import tables
from bot.storage.arrivals import Arrivals, SetAside, Waiting, chat_of, envelope_from_json, key_of
from bot.storage.chats import Chats, Owner
from bot.storage.erasing import Erasures
from bot.storage.inserting import insert_once
from bot.storage.owed import DueRow, Owed
from bot.storage.store import Store
from bot.storage.values import ms, phrase_to_json
from core.phrases import Phrase
from core.problems import refuse

CLUB, INVITE, OUTBOX = (tables.metadata.tables[name] for name in ("club", "invite", "outbox"))


class Transaction(Arrivals, Chats, Owed, Erasures):
    """Valid inside `Database.run` only."""

    def __init__(self, connection: sa.Connection) -> None:
        self.connection = connection
        self._afterwards: list[Callable[[], None]] = []

    def after_commit(self, act: Callable[[], None]) -> None:
        """`act` runs once this is committed, and never if it is not."""
        self._afterwards.append(act)

    def committed(self) -> None:
        for act in self._afterwards:
            act()

    def savepoint(self) -> sa.NestedTransaction:
        """What comes after can be undone without losing what came before."""
        return self.connection.begin_nested()

    def club(self, club_id: str) -> Store:
        """The club's own store: nothing of another club can be read or written through it."""
        return Store(self.connection, club_id)

    # --- clubs and invites -------------------------------------------------------------------------------

    def create_club(self, club_id: str, name: str, time_zone: str, now: datetime) -> Store:
        """A new club, or the one that has this id; BadInput where another has the name."""
        row = {"id": club_id, "name": name, "time_zone": time_zone, "created_ms": ms(now)}
        if not insert_once(self.connection, tables.Club, row) and club_id not in self.clubs():
            raise refuse(f"club {name!r}", "is the name of another club here", "choose another name")
        return self.club(club_id)

    def clubs(self) -> dict[str, str]:
        """Names by id, in the order of their founding."""
        rows = self.connection.execute(sa.select(CLUB.c.id, CLUB.c.name).order_by(CLUB.c.created_ms, CLUB.c.id))
        return {row.id: row.name for row in rows}

    def use_invite(
        self, code_hash: str, messenger: str, chat: str, user: str, now: datetime, name: str = ""
    ) -> Owner | None:
        """Join this chat to the invite's member; None for a code that is unknown, used, revoked or too old.

        One statement decides, so that of two who race with one code exactly one gets in. `name`: what the
        messenger calls the person, for the coach to see who joined.
        """
        open_now = (INVITE.c.used_ms.is_(None), INVITE.c.revoked.is_(False), INVITE.c.expires_ms > ms(now))
        won = self.connection.execute(
            INVITE.update()
            .where(INVITE.c.code_hash == code_hash, *open_now)
            .values(used_ms=ms(now), used_by=key_of(messenger, chat), used_name=name)
            .returning(INVITE.c.club_id, INVITE.c.member_id)
        ).first()
        if won is None:
            return None
        self.club(won.club_id).open_chat(won.member_id, messenger, chat, user, now)
        return Owner(won.club_id, won.member_id)

    def answer_stranger(self, messenger: str, chat: str, said: Phrase, now: datetime) -> None:
        """One line to somebody who belongs to no club, on behalf of the oldest club here."""
        club = next(iter(self.clubs()), None)
        if club is None:
            return
        row = {"club_id": club, "messenger": messenger, "chat": chat, "verb": "message", "lane": "reply"}
        times = {"written_ms": ms(now), "due_ms": ms(now), "cause": "stranger"}
        self.connection.execute(OUTBOX.insert().values(**row, **times, lines=[phrase_to_json(said)], buttons=[]))


__all__ = ["DueRow", "Owner", "SetAside", "Transaction", "Waiting", "chat_of", "envelope_from_json", "key_of"]
