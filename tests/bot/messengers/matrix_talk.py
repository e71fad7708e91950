"""A served messenger on a real server, and a person who talks with it, for the length of a story."""

import asyncio
import time
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, field

from bot.messengers import Arrival, Batch, Envelope, Intake
from bot.messengers.matrix import Matrix, Rhythm
from bot.messengers.matrix_session import MemorySession, Session
from tests.matrix_person import PASSWORD, Person
from tests.synapse import Synapse

QUICK = Rhythm(poll_s=5.0, first_backoff_s=0.05, answer_within_s=5.0, head_start_s=0.5)


async def until(holds: Callable[[], object], within_s: float = 30.0) -> None:
    deadline = time.monotonic() + within_s
    while not holds():
        assert time.monotonic() < deadline, "it did not come about"
        await asyncio.sleep(0.01)


@dataclass
class Inbox:
    """An intake in memory that can fail like a database."""

    failures: int = 0
    batches: list[Batch] = field(default_factory=list)

    async def __call__(self, batch: Batch) -> None:
        if self.failures:
            self.failures -= 1
            raise OSError("disk full")
        self.batches.append(batch)

    @property
    def envelopes(self) -> list[Envelope]:
        return [envelope for batch in self.batches for envelope in batch.envelopes]

    def kinds(self, *kinds: Arrival) -> list[Envelope]:
        return [envelope for envelope in self.envelopes if envelope.kind in kinds]

    @property
    def texts(self) -> list[str]:
        return [envelope.text for envelope in self.kinds(Arrival.TEXT)]

    @property
    def cursor(self) -> str | None:
        return self.batches[-1].cursor if self.batches else None


@dataclass
class Account:
    """The bot's own account, which outlives any one process."""

    server: Synapse
    user: str
    session: Session = field(default_factory=MemorySession)

    def messenger(self, url: str | None = None) -> Matrix:
        address = self.server.url if url is None else url
        return Matrix(address, self.user, PASSWORD, self.session, rhythm=QUICK)


@asynccontextmanager
async def served(messenger: Matrix, intake: Intake, cursor: str | None = None) -> AsyncIterator[Matrix]:
    serving = asyncio.create_task(messenger.serve(cursor, intake))
    try:
        yield messenger
    finally:
        await ended(serving)
        await messenger.close()


async def ended(serving: "asyncio.Task[None]") -> None:
    serving.cancel()
    with suppress(asyncio.CancelledError):
        await serving


@dataclass
class Scene:
    """Ann, who has invited the bot to `chat`, and the bot, which is being served."""

    account: Account
    ann: Person
    chat: str
    bot: Matrix
    inbox: Inbox
    away: Callable[[], Awaitable[None]]  # ends the service

    @property
    def me(self) -> str:
        return self.account.user


@asynccontextmanager
async def invited(server: Synapse, inbox: Inbox | None = None, url: str | None = None) -> AsyncIterator[Scene]:
    """From the invitation to the opened chat."""
    inbox = Inbox() if inbox is None else inbox
    async with Person.new(server, "ann") as ann, Person.new(server, "plimsoll") as bot:
        account = Account(server, bot.user)
        messenger = account.messenger(url)
        serving = asyncio.create_task(messenger.serve(None, inbox))
        try:
            chat = await ann.opens(bot.user, is_direct=True)
            await until(lambda: inbox.kinds(Arrival.OPENED))
            yield Scene(account, ann, chat, messenger, inbox, lambda: ended(serving))
        finally:
            await ended(serving)
            await messenger.close()
