"""Outboxes for the contract: one in memory, and whatever stores the real one. A rig posts and looks; the rest is the
port's own."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from tempfile import TemporaryDirectory
from typing import Protocol

from bot.delivery import Outbox
from bot.outbox import Verb, Words
from bot.storage import Database, Transaction, tables
from bot.storage.outgoing import StoredOutbox
from bot.storage.values import ms, phrase_to_json
from core.phrases import Phrase, phrase
from core.speech import Button, Lane
from core.training import Athlete
from core.units import Unit
from tests.bot.outbox_in_memory import MemoryOutbox

OUTBOX = tables.metadata.tables["outbox"]
NOW = datetime(2026, 10, 5, 6, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Posted:
    """What a test wants to have in the outbox; `due` None: at once."""

    chat: str
    text: str = "x"
    lane: Lane = Lane.REPLY
    verb: Verb = Verb.MESSAGE
    target: str | None = None
    prescribes: bool = False
    due: datetime | None = None
    worthless_after: datetime | None = None


class OutboxRig(Protocol):
    """An empty outbox with the chats "1" to "9" and the group "-5" open at "telegram"."""

    outbox: Outbox

    def post(self, posted: Posted) -> str:
        """The row's id."""

    def state(self, row: str) -> str:
        """waiting, begun, sent, uncertain, refused or dropped."""

    def again(self) -> Outbox:
        """The outbox as a new process finds it."""


class MemoryRig:
    """`MemoryOutbox`: the plainest thing that keeps the contract."""

    def __init__(self) -> None:
        self.outbox: Outbox = MemoryOutbox()

    def post(self, posted: Posted) -> str:
        assert isinstance(self.outbox, MemoryOutbox)
        row = self.outbox.post(
            posted.chat, posted.text, lane=posted.lane, verb=posted.verb, target=posted.target,
            prescribes=posted.prescribes, worthless_after=posted.worthless_after, not_before=posted.due,
        )  # fmt: skip
        return row.waiting.id

    def state(self, row: str) -> str:
        assert isinstance(self.outbox, MemoryOutbox)
        found = next(one for one in self.outbox.rows if one.waiting.id == row)
        state = found.state.split()[0]
        if state == "waiting" and found.waiting.begun:
            return "begun"
        return {"refuse": "refused", "closed": "refused", "drop": "dropped"}.get(state, state)

    def again(self) -> Outbox:
        return self.outbox


@contextmanager
def memory() -> Iterator[OutboxRig]:
    yield MemoryRig()


def said(
    messenger: str, lines: Sequence[Phrase], buttons: Sequence[Button], language: str, unit: Unit, again: bool
) -> Words:
    """Words that show what they were made of."""
    return Words(" ".join(str(line.value("text")) for line in lines) + (" (again)" if again else ""))


class StoredRig:
    """The outbox of the store, on a database file of its own."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self.outbox: Outbox = self.again()
        database.run_now(self._found)

    def _found(self, tx: Transaction) -> None:
        store = tx.create_club("club", "Club", "UTC", NOW)
        for number in range(1, 10):
            store.add_member(Athlete(f"a{number}", f"Athlete {number}"))
            store.open_chat(f"a{number}", "telegram", str(number), str(number), NOW)
        store.open_chat(None, "telegram", "-5", "", NOW)

    def post(self, posted: Posted) -> str:
        member = None if posted.chat.startswith("-") else f"a{posted.chat}"
        row = {
            "club_id": "club", "member_id": member, "messenger": "telegram", "chat": posted.chat,
            "verb": posted.verb.value, "lane": posted.lane.value, "target": posted.target, "buttons": [],
            "lines": [phrase_to_json(phrase("plain", text=posted.text))], "prescribes": posted.prescribes,
            "written_ms": ms(NOW), "due_ms": ms(NOW if posted.due is None else posted.due), "cause": "test",
            "worthless_ms": None if posted.worthless_after is None else ms(posted.worthless_after),
        }  # fmt: skip
        insert = OUTBOX.insert().values(**row).returning(OUTBOX.c.id)
        return str(self._database.run_now(lambda tx: tx.connection.execute(insert).scalar_one()))

    def state(self, row: str) -> str:
        query = OUTBOX.select().where(OUTBOX.c.id == int(row))
        return str(self._database.run_now(lambda tx: tx.connection.execute(query).one()).state)

    def again(self) -> Outbox:
        return StoredOutbox(self._database, said, edits=("telegram",))


@contextmanager
def stored() -> Iterator[OutboxRig]:
    with TemporaryDirectory() as folder:
        database = Database(f"sqlite:///{folder}/plimsoll.db").open()
        try:
            yield StoredRig(database)
        finally:
            database.close()


RIGS: dict[str, Callable[[], AbstractContextManager[OutboxRig]]] = {"memory": memory, "stored": stored}
