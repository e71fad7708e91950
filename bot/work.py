"""Work to be done, by conversation: `wake` inside the transaction that made it, `serve` until cancelled.

A piece of work is a lane and a key, and carries no data: `drain(key)` finds in the store what waits under the key and
is idempotent. So a wake may be repeated, merged with others or lost with its process; after a start `waiting()` tells
from the store what is still to be done. Work of one key is never done twice at a time; that keeps a conversation's
order. Another engine (conversation rows of PostgreSQL, a distributed queue) is another class with these two methods.
"""

import asyncio
import logging
from collections.abc import Awaitable, Callable, Iterable
from itertools import islice
from typing import Protocol

from core.speech import Lane

log = logging.getLogger("plimsoll.work")

Drain = Callable[[str], Awaitable[None]]
Waiting = Callable[[], Awaitable[Iterable[tuple[Lane, str]]]]


class Commits(Protocol):
    """What a transaction owes to work: it calls `act` once it is committed, and never if it is not."""

    def after_commit(self, act: Callable[[], None]) -> None: ...


class Work(Protocol):
    """The port."""

    def wake(self, tx: Commits, lane: Lane, key: str) -> None:
        """After `tx` has committed, `key` is drained."""

    async def serve(self, drain: Drain) -> None:
        """Drain what waits and what is woken, until cancelled."""


class LocalWork:
    """Work within one process and one event loop; `wake` may be called from a store's thread."""

    def __init__(
        self, waiting: Waiting, at_once: int = 8, first_wait_s: float = 0.5, longest_wait_s: float = 60.0
    ) -> None:
        self._waiting, self._at_once = waiting, at_once
        self._first_wait_s, self._longest_wait_s = first_wait_s, longest_wait_s
        self._queued: dict[Lane, dict[str, None]] = {lane: {} for lane in Lane}  # a dict keeps the order of waking
        self._busy: dict[str, asyncio.Task[None]] = {}
        self._failures: dict[str, int] = {}
        self._loop: asyncio.AbstractEventLoop | None = None
        self._news = asyncio.Event()

    def wake(self, tx: Commits, lane: Lane, key: str) -> None:
        tx.after_commit(lambda: self.note(lane, key))

    def note(self, lane: Lane, key: str) -> None:
        """`key` has work. From any thread; before `serve` it is enough that the store knows."""
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._enqueue, lane, key)

    def _enqueue(self, lane: Lane, key: str) -> None:
        self._queued[lane][key] = None
        self._news.set()

    async def serve(self, drain: Drain) -> None:
        self._loop = asyncio.get_running_loop()
        try:
            for lane, key in await self._waiting():
                self._enqueue(lane, key)
            while True:
                self._start_what_may(drain)
                await self._news.wait()
                self._news.clear()
        finally:
            self._loop = None
            await self._stop()

    def _start_what_may(self, drain: Drain) -> None:
        """Replies before broadcasts; a busy key waits for itself, never for another."""
        for lane in Lane:
            free = (key for key in self._queued[lane] if key not in self._busy)
            for key in list(islice(free, self._at_once - len(self._busy))):
                del self._queued[lane][key]
                self._busy[key] = asyncio.create_task(self._drain(drain, lane, key))

    async def _drain(self, drain: Drain, lane: Lane, key: str) -> None:
        try:
            await drain(key)
        except Exception:
            self._later(lane, key)
        else:
            self._failures.pop(key, None)
        finally:
            del self._busy[key]
            self._news.set()

    def _later(self, lane: Lane, key: str) -> None:
        """Ours or the database's: the store still has the work, so it is tried again, more and more rarely."""
        failed = self._failures[key] = self._failures.get(key, 0) + 1
        wait = min(self._first_wait_s * 2.0 ** min(failed - 1, 20), self._longest_wait_s)
        log.exception("work for %s failed %d times; next try in %g s", key, failed, wait)
        asyncio.get_running_loop().call_later(wait, self._enqueue, lane, key)

    async def _stop(self) -> None:
        tasks = list(self._busy.values())
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)
