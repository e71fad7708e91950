"""One transaction, with the doors that belong to no club: inbox, conversations, chats, clubs, invites.

What is a club's own is reached through `club(id)` only.
"""

from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from bot.messengers import Arrival, Batch, Envelope
from bot.storage import tables
from bot.storage.inserting import insert_once, upsert
from bot.storage.store import Store
from bot.storage.values import instant, ms

SET_ASIDE_AFTER = 3  # failures


@dataclass(frozen=True, slots=True)
class Waiting:
    """An arrival that waits to be decided."""

    id: int
    envelope: Envelope
    failures: int


@dataclass(frozen=True, slots=True)
class Owner:
    """Whose chat it is; `member` is None for a group."""

    club: str
    member: str | None


class Transaction:
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

    def club(self, club_id: str) -> Store:
        """The club's own store: nothing of another club can be read or written through it."""
        return Store(self.connection, club_id)

    # --- arrivals ----------------------------------------------------------------------------------------

    def receive(self, batch: Batch, now: datetime) -> tuple[str, ...]:
        """Keep arrivals (each once) and the cursor; the keys of the conversations that have news."""
        woken: dict[str, None] = {}
        for envelope in batch.envelopes:
            key = {"messenger": envelope.messenger, "chat": envelope.chat}
            insert_once(self.connection, tables.Conversation, key | {"waiting_ms": None})
            if insert_once(self.connection, tables.Inbox, _inbox_row(envelope, now)):
                upsert(self.connection, tables.Conversation, key, {"waiting_ms": ms(now)})
                woken[key_of(envelope.messenger, envelope.chat)] = None
        if batch.cursor is not None:
            upsert(self.connection, tables.Cursor, {"messenger": batch.messenger}, {"value": batch.cursor})
        return tuple(woken)

    def cursor(self, messenger: str) -> str | None:
        """The cursor that was stored with the last batch."""
        query = sa.select(CURSOR.c.value).where(CURSOR.c.messenger == messenger)
        found = self.connection.execute(query).scalar()
        return None if found is None else str(found)

    def waiting(self) -> tuple[str, ...]:
        """The conversations in which something waits, the longest first."""
        rows = self.connection.execute(
            sa.select(CONVERSATION.c.messenger, CONVERSATION.c.chat)
            .where(CONVERSATION.c.waiting_ms.is_not(None))
            .order_by(CONVERSATION.c.waiting_ms)
        )
        return tuple(key_of(row.messenger, row.chat) for row in rows)

    def claim(self, key: str) -> Waiting | None:
        """The next arrival of a conversation, its row locked until the commit; None where none waits.

        On PostgreSQL another worker's conversation is passed over, so that messages never overtake.
        """
        messenger, chat = chat_of(key)
        at = (CONVERSATION.c.messenger == messenger) & (CONVERSATION.c.chat == chat)
        row = self.connection.execute(
            sa.select(CONVERSATION.c.chat).where(at).with_for_update(skip_locked=True)
        ).first()
        if row is None:
            return None
        found = self.connection.execute(
            sa.select(INBOX)
            .where(INBOX.c.messenger == messenger, INBOX.c.chat == chat, INBOX.c.state == "new")
            .order_by(INBOX.c.written, INBOX.c.revision, INBOX.c.id)
            .limit(1)
        ).first()
        if found is None:
            self.connection.execute(CONVERSATION.update().where(at).values(waiting_ms=None))
            return None
        return Waiting(found.id, envelope_from_json(found.envelope), found.failures)

    def handled(self, arrival: int) -> None:
        """It is decided; never again."""
        self.connection.execute(INBOX.update().where(INBOX.c.id == arrival).values(state="handled"))

    def failed(self, waiting: Waiting, why: str) -> bool:
        """Count a failure; True where this was the third and the arrival is set aside."""
        aside = waiting.failures + 1 >= SET_ASIDE_AFTER
        changed = {"failures": waiting.failures + 1, "why": why[:500], "state": "aside" if aside else "new"}
        self.connection.execute(INBOX.update().where(INBOX.c.id == waiting.id).values(changed))
        return aside

    def savepoint(self) -> sa.NestedTransaction:
        """What comes after can be undone without losing what came before."""
        return self.connection.begin_nested()

    # --- chats and people --------------------------------------------------------------------------------

    def whose(self, messenger: str, chat: str) -> Owner | None:
        """Whose open chat this is; None for a stranger's."""
        row = self.connection.execute(
            sa.select(CHAT.c.club_id, CHAT.c.member_id).where(
                CHAT.c.messenger == messenger, CHAT.c.chat == chat, CHAT.c.open.is_(True)
            )
        ).first()
        return None if row is None else Owner(row.club_id, row.member_id)

    def heard_from(self, messenger: str, chat: str, now: datetime) -> None:
        """Answers go to the chat that was used last."""
        at = (CHAT.c.messenger == messenger) & (CHAT.c.chat == chat)
        self.connection.execute(CHAT.update().where(at).values(used_ms=ms(now), open=True))

    def close_chat(self, messenger: str, chat: str) -> Owner | None:
        """Nobody hears us there any more; whose it was."""
        owner = self.whose(messenger, chat)
        at = (CHAT.c.messenger == messenger) & (CHAT.c.chat == chat)
        self.connection.execute(CHAT.update().where(at).values(open=False))
        return owner

    def move_chat(self, messenger: str, chat: str, to: str) -> None:
        """A group has a new address; what waits for it goes there too."""
        at = (CHAT.c.messenger == messenger) & (CHAT.c.chat == chat)
        known = (CHAT.c.messenger == messenger) & (CHAT.c.chat == to)
        if self.connection.execute(sa.select(CHAT.c.chat).where(known)).first() is None:
            self.connection.execute(CHAT.update().where(at).values(chat=to))
        rows = (OUTBOX.c.messenger == messenger) & (OUTBOX.c.chat == chat) & OUTBOX.c.state.in_(("waiting", "begun"))
        self.connection.execute(OUTBOX.update().where(rows).values(chat=to))

    def stranger(self, messenger: str, chat: str, guessed: bool) -> tuple[int, bool]:
        """Count a stranger's message; how many codes were guessed, and whether its one line is still due."""
        key = {"messenger": messenger, "chat": chat}
        insert_once(self.connection, tables.Stranger, key | {"guesses": 0, "answered": False})
        at = (STRANGER.c.messenger == messenger) & (STRANGER.c.chat == chat)
        row = self.connection.execute(sa.select(STRANGER).where(at)).one()
        guesses = row.guesses + guessed
        self.connection.execute(STRANGER.update().where(at).values(guesses=guesses, answered=True))
        return guesses, not row.answered

    # --- clubs and invites -------------------------------------------------------------------------------

    def create_club(self, club_id: str, name: str, time_zone: str, now: datetime) -> Store:
        row = {"id": club_id, "name": name, "time_zone": time_zone, "created_ms": ms(now)}
        insert_once(self.connection, tables.Club, row)
        return self.club(club_id)

    def clubs(self) -> dict[str, str]:
        """Names by id, in the order of their founding."""
        rows = self.connection.execute(sa.select(CLUB.c.id, CLUB.c.name).order_by(CLUB.c.created_ms, CLUB.c.id))
        return {row.id: row.name for row in rows}

    def use_invite(self, code_hash: str, messenger: str, chat: str, user: str, now: datetime) -> Owner | None:
        """Join this chat to the invite's member; None for a code that is unknown, used, revoked or too old.

        One statement decides, so that of two who race with one code exactly one gets in.
        """
        won = self.connection.execute(
            INVITE.update()
            .where(
                INVITE.c.code_hash == code_hash,
                INVITE.c.used_ms.is_(None),
                INVITE.c.revoked.is_(False),
                INVITE.c.expires_ms > ms(now),
            )
            .values(used_ms=ms(now), used_by=f"{messenger} {chat}")
            .returning(INVITE.c.club_id, INVITE.c.member_id)
        ).first()
        if won is None:
            return None
        store = self.club(won.club_id)
        store.open_chat(won.member_id, messenger, chat, user, now)
        return Owner(won.club_id, won.member_id)

    # --- what the clock owes -----------------------------------------------------------------------------

    def claim_due(self, now: datetime, limit: int = 100) -> tuple["DueRow", ...]:
        """Occurrences that are due, each given to one caller only."""
        due = (
            sa.select(OCCURRENCE.c.club_id, OCCURRENCE.c.member_id, OCCURRENCE.c.kind, OCCURRENCE.c.day)
            .where(OCCURRENCE.c.state == "planned", OCCURRENCE.c.due_ms <= ms(now))
            .order_by(OCCURRENCE.c.due_ms)
            .limit(limit)
            .with_for_update(skip_locked=True)
        )
        rows = self.connection.execute(due).all()
        for row in rows:
            at = sa.and_(*(OCCURRENCE.c[name] == value for name, value in row._mapping.items()))
            self.connection.execute(OCCURRENCE.update().where(at).values(state="done"))
        return tuple(DueRow(row.club_id, row.member_id, row.kind, row.day) for row in rows)

    def next_due(self) -> datetime | None:
        """When the clock owes something next."""
        soonest = sa.select(sa.func.min(OCCURRENCE.c.due_ms)).where(OCCURRENCE.c.state == "planned")
        found = self.connection.execute(soonest).scalar()
        return None if found is None else instant(found)


@dataclass(frozen=True, slots=True)
class DueRow:
    """One claimed occurrence."""

    club: str
    member: str
    kind: str
    day: str


def key_of(messenger: str, chat: str) -> str:
    """A conversation's key; ids hold no spaces."""
    return f"{messenger} {chat}"


def chat_of(key: str) -> tuple[str, str]:
    messenger, _, chat = key.partition(" ")
    return messenger, chat


def _inbox_row(envelope: Envelope, now: datetime) -> dict[str, Any]:
    content = asdict(envelope) | {"kind": envelope.kind.value, "sent": envelope.sent.isoformat()}
    return {
        "messenger": envelope.messenger,
        "chat": envelope.chat,
        "message": envelope.message,
        "revision": envelope.revision,
        "kind": envelope.kind.value,
        "written": ms(envelope.sent) if envelope.order == 0 else envelope.order,
        "envelope": content,
        "received_ms": ms(now),
        "state": "aside" if envelope.kind is Arrival.UNREADABLE else "new",
        "failures": 0,
        "why": "",
    }


def envelope_from_json(data: dict[str, Any]) -> Envelope:
    facts = data | {"kind": Arrival(data["kind"]), "sent": datetime.fromisoformat(data["sent"])}
    return Envelope(**facts)


CLUB, CHAT, CONVERSATION, CURSOR, INBOX, INVITE, OCCURRENCE, OUTBOX, STRANGER = (
    tables.metadata.tables[name]
    for name in ("club", "chat", "conversation", "cursor", "inbox", "invite", "occurrence", "outbox", "stranger")
)
