"""Outboxes for the contract: one in memory, and whatever stores the real one. A rig posts and looks; the rest is the
port's own."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Protocol

from bot.delivery import Outbox
from bot.outbox import Verb
from core.speech import Lane
from tests.bot.outbox_in_memory import MemoryOutbox

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


RIGS: dict[str, Callable[[], AbstractContextManager[OutboxRig]]] = {"memory": memory}
