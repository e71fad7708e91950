"""Arrivals: kept once, with the cursor; claimed by conversation, never by message; set aside when they fail."""

from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa

from bot.messengers import Arrival, Batch, Envelope
from bot.storage import tables
from bot.storage.inserting import insert_once, upsert
from bot.storage.prepared import change
from bot.storage.values import ms

SET_ASIDE_AFTER = 3  # failures

CONVERSATION, INBOX = (tables.metadata.tables[name] for name in ("conversation", "inbox"))

_MESSENGER: sa.BindParameter[str] = sa.bindparam("messenger")
_PLACE: sa.BindParameter[str] = sa.bindparam("chat")
_FREE = (
    sa.select(CONVERSATION.c.chat)
    .where(CONVERSATION.c.messenger == _MESSENGER, CONVERSATION.c.chat == _PLACE)
    .with_for_update(skip_locked=True)
)
_NEXT = (
    sa.select(INBOX)
    .where(INBOX.c.messenger == _MESSENGER, INBOX.c.chat == _PLACE, INBOX.c.state == "new")
    .order_by(INBOX.c.written, INBOX.c.revision, INBOX.c.id)
    .limit(sa.bindparam("most", type_=sa.Integer))
)


@dataclass(frozen=True, slots=True)
class Waiting:
    """An arrival that waits to be decided."""

    id: int
    envelope: Envelope
    failures: int


@dataclass(frozen=True, slots=True)
class SetAside:
    """An arrival that is not tried any more: it could not be read, or failed three times."""

    id: int
    envelope: Envelope
    why: str


class Arrivals:
    """The part of a transaction that belongs to the inbox."""

    connection: sa.Connection

    def receive(self, batch: Batch, now: datetime) -> tuple[str, ...]:
        """Keep arrivals (each once) and the cursor; the keys of the conversations that have news.

        The conversation's row comes first: who holds it decides meanwhile, and so no arrival is overlooked.
        """
        woken: dict[str, None] = {}
        for messenger, chat in dict.fromkeys((one.messenger, one.chat) for one in batch.envelopes):
            self._wait(messenger, chat, now)
        for envelope in batch.envelopes:
            fresh = insert_once(self.connection, tables.Inbox, _inbox_row(envelope, now))
            if fresh and envelope.kind is not Arrival.UNREADABLE:
                woken[key_of(envelope.messenger, envelope.chat)] = None
        if batch.cursor is not None:
            self.set_cursor(batch.messenger, batch.cursor)
        return tuple(woken)

    def _wait(self, messenger: str, chat: str, now: datetime) -> None:
        """Something may wait in this conversation; one that waits already keeps its place."""
        key = {"messenger": messenger, "chat": chat}
        upsert(self.connection, tables.Conversation, key, {"waiting_ms": ms(now)}, keep=True)

    def cursor(self, messenger: str) -> str | None:
        """The cursor that was stored with the last batch."""
        table = tables.metadata.tables["cursor"]
        found = self.connection.execute(sa.select(table.c.value).where(table.c.messenger == messenger)).scalar()
        return None if found is None else str(found)

    def set_cursor(self, messenger: str, value: str) -> None:
        upsert(self.connection, tables.Cursor, {"messenger": messenger}, {"value": value})

    def waiting(self, limit: int = 100_000) -> tuple[str, ...]:
        """The conversations in which something may wait, the longest first."""
        rows = self.connection.execute(
            sa.select(CONVERSATION.c.messenger, CONVERSATION.c.chat)
            .where(CONVERSATION.c.waiting_ms.is_not(None))
            .order_by(CONVERSATION.c.waiting_ms, CONVERSATION.c.messenger, CONVERSATION.c.chat)
            .limit(limit)
        )
        return tuple(key_of(row.messenger, row.chat) for row in rows)

    def claim(self, key: str) -> Waiting | None:
        """The next arrival of a conversation, its row locked until the commit; None where none waits.

        On PostgreSQL another worker's conversation is passed over, so that messages never overtake.
        """
        messenger, chat = chat_of(key)
        at = {"messenger": messenger, "chat": chat}
        if self.connection.execute(_FREE, at).first() is None:
            return None
        found = self.next_envelopes(key, 1)
        if not found:
            change(self.connection, "conversation", at, {"waiting_ms": None})
            return None
        return found[0]

    def next_envelopes(self, key: str, limit: int) -> tuple[Waiting, ...]:
        """The next arrivals of a conversation that this transaction has claimed, as they were written."""
        messenger, chat = chat_of(key)
        found = self.connection.execute(_NEXT, {"messenger": messenger, "chat": chat, "most": limit})
        return tuple(Waiting(row.id, envelope_from_json(row.envelope), row.failures) for row in found)

    def handled(self, arrival: int) -> None:
        """It is decided; never again. Only its key stays: what it said is on record, or was not to be kept."""
        change(self.connection, "inbox", {"id": arrival}, {"state": "handled", "envelope": {}, "why": ""})

    def failed(self, waiting: Waiting, why: str) -> bool:
        """Count a failure; True where this was the third and the arrival is set aside."""
        aside = waiting.failures + 1 >= SET_ASIDE_AFTER
        changed = {"failures": waiting.failures + 1, "why": why[:500], "state": "aside" if aside else "new"}
        self.connection.execute(INBOX.update().where(INBOX.c.id == waiting.id).values(changed))
        return aside

    def set_aside(self, limit: int = 100) -> tuple[SetAside, ...]:
        """What is not tried any more, the newest first."""
        query = sa.select(INBOX).where(INBOX.c.state == "aside").order_by(INBOX.c.id.desc()).limit(limit)
        rows = self.connection.execute(query)
        return tuple(SetAside(row.id, envelope_from_json(row.envelope), row.why) for row in rows)

    def forget_handled(self, before: datetime) -> int:
        """Drop the keys of arrivals so old that no network repeats them; how many."""
        old = INBOX.delete().where(INBOX.c.state == "handled", INBOX.c.received_ms < ms(before))
        return self.connection.execute(old).rowcount


def key_of(messenger: str, chat: str) -> str:
    """A conversation's key; a messenger's name holds no space."""
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
