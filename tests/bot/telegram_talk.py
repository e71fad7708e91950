"""A served messenger and the double it talks to, for the length of a story."""

import asyncio
from collections.abc import Awaitable, Callable

from bot.messengers import (
    Batch,
    Envelope,
)
from bot.messengers.telegram import Rhythm, Telegram
from tests.telegram_double import TelegramDouble
from tests.telegram_rules import Pace

QUICK = Rhythm(poll_s=2, first_backoff_s=0.01, answer_within_s=0.3, between_pieces_s=0.0)
PNG = b"\x89PNG\r\n\x1a\n"
ANN = 4211
GROUP = -555


class Inbox:
    """An intake in memory that can fail like a database."""

    def __init__(self, failures: int = 0) -> None:
        self.batches: list[Batch] = []
        self.failures = failures
        self.double: TelegramDouble | None = None
        self.offsets_at_store: list[int | None] = []

    async def __call__(self, batch: Batch) -> None:
        if self.failures:
            self.failures -= 1
            raise OSError("disk full")
        self.batches.append(batch)
        if self.double is not None:
            self.offsets_at_store.append(self.double.offsets[-1])

    @property
    def envelopes(self) -> list[Envelope]:
        return [envelope for batch in self.batches for envelope in batch.envelopes]

    @property
    def texts(self) -> list[str]:
        return [envelope.text for envelope in self.envelopes]


def free() -> TelegramDouble:
    return TelegramDouble(pace=Pace(None, None, None))


def talk(
    story: Callable[[TelegramDouble, Telegram, Inbox], Awaitable[None]],
    inbox: Inbox | None = None,
    double: TelegramDouble | None = None,
    cursor: str | None = None,
    **settings: object,
) -> tuple[TelegramDouble, Inbox]:
    """A served messenger, for as long as the story takes."""
    inbox, double = inbox or Inbox(), double or free()

    async def run() -> None:
        async with double:
            messenger = Telegram("1:TEST", double.url, rhythm=QUICK, **settings)  # type: ignore[arg-type]
            serving = asyncio.create_task(messenger.serve(cursor, inbox))
            try:
                await story(double, messenger, inbox)
            finally:
                serving.cancel()
                await asyncio.gather(serving, return_exceptions=True)
                await messenger.close()

    asyncio.run(run())
    assert double.pace.early == []
    return double, inbox


def post(
    story: Callable[[TelegramDouble, Telegram], Awaitable[None]], double: TelegramDouble | None = None
) -> TelegramDouble:
    """A messenger that only posts, to Ann and to a group."""
    double = double or free()
    double.known |= {str(ANN), str(GROUP)}

    async def run() -> None:
        async with double:
            messenger = Telegram("1:TEST", double.url, rhythm=QUICK)
            try:
                await story(double, messenger)
            finally:
                await messenger.close()

    asyncio.run(run())
    return double
