"""The local loop: order per key, nothing lost, nothing twice at a time."""

import asyncio
import threading
from collections.abc import Awaitable, Callable

from bot.work import LocalWork
from core.speech import Lane


class Transaction:
    """Enough of a transaction: it commits, or it does not."""

    def __init__(self) -> None:
        self.acts: list[Callable[[], None]] = []

    def after_commit(self, act: Callable[[], None]) -> None:
        self.acts.append(act)

    def commit(self) -> None:
        for act in self.acts:
            act()


async def nothing_waits() -> list[tuple[Lane, str]]:
    return []


def served(work: LocalWork, drain: Callable[[str], Awaitable[None]], act: Callable[[], Awaitable[None]]) -> None:
    async def run() -> None:
        serving = asyncio.create_task(work.serve(drain))
        await asyncio.sleep(0)
        await act()
        serving.cancel()
        await asyncio.gather(serving, return_exceptions=True)

    asyncio.run(run())


def woken(work: LocalWork, lane: Lane, key: str) -> None:
    tx = Transaction()
    work.wake(tx, lane, key)
    tx.commit()


def test_a_wake_counts_once_the_transaction_has_committed_and_never_if_not() -> None:
    drained: list[str] = []
    work = LocalWork(nothing_waits)

    async def drain(key: str) -> None:
        drained.append(key)

    async def act() -> None:
        committed, abandoned = Transaction(), Transaction()
        work.wake(committed, Lane.REPLY, "a")
        work.wake(abandoned, Lane.REPLY, "b")
        await asyncio.sleep(0.01)
        assert drained == []
        committed.commit()
        await asyncio.sleep(0.01)

    served(work, drain, act)
    assert drained == ["a"]


def test_what_waits_in_the_store_is_drained_after_a_start() -> None:
    drained: list[str] = []

    async def waiting() -> list[tuple[Lane, str]]:
        return [(Lane.REPLY, "a"), (Lane.BROADCAST, "b")]

    async def drain(key: str) -> None:
        drained.append(key)

    served(LocalWork(waiting), drain, lambda: asyncio.sleep(0.01))
    assert drained == ["a", "b"]


def test_one_key_is_never_drained_twice_at_a_time_and_a_wake_meanwhile_is_kept() -> None:
    running: list[str] = []
    runs: list[str] = []
    work = LocalWork(nothing_waits)

    async def drain(key: str) -> None:
        assert key not in running
        running.append(key)
        await asyncio.sleep(0.005)
        running.remove(key)
        runs.append(key)

    async def act() -> None:
        for _ in range(5):
            woken(work, Lane.REPLY, "a")
            woken(work, Lane.REPLY, "b")
        await asyncio.sleep(0.002)
        woken(work, Lane.REPLY, "a")
        woken(work, Lane.REPLY, "a")
        await asyncio.sleep(0.05)

    served(work, drain, act)
    assert sorted(runs) == ["a", "a", "b"]  # five wakes are one; those while it ran are one more


def test_replies_overtake_broadcasts_and_no_more_than_allowed_run_at_once() -> None:
    started: list[str] = []
    at_once: list[int] = []
    work = LocalWork(nothing_waits, at_once=2)
    running = 0

    async def drain(key: str) -> None:
        nonlocal running
        running += 1
        at_once.append(running)
        started.append(key)
        await asyncio.sleep(0.002)
        running -= 1

    async def act() -> None:
        for number in range(4):
            woken(work, Lane.BROADCAST, f"broadcast {number}")
        await asyncio.sleep(0.001)
        woken(work, Lane.REPLY, "reply")
        await asyncio.sleep(0.05)

    served(work, drain, act)
    assert started.index("reply") == 2
    assert len(started) == 5
    assert max(at_once) == 2


def test_a_failure_is_tried_again_and_holds_up_no_other() -> None:
    tries: list[str] = []
    work = LocalWork(nothing_waits, first_wait_s=0.005)

    async def drain(key: str) -> None:
        tries.append(key)
        if key == "a" and tries.count("a") < 3:
            raise OSError("disk full")

    async def act() -> None:
        woken(work, Lane.REPLY, "a")
        woken(work, Lane.REPLY, "b")
        await asyncio.sleep(0.06)

    served(work, drain, act)
    assert tries.count("a") == 3
    assert tries[:2] == ["a", "b"]


def test_a_wake_from_a_store_thread_arrives() -> None:
    drained: list[str] = []
    work = LocalWork(nothing_waits)

    async def drain(key: str) -> None:
        drained.append(key)

    async def act() -> None:
        thread = threading.Thread(target=lambda: woken(work, Lane.REPLY, "a"))
        thread.start()
        await asyncio.sleep(0.02)
        thread.join()

    served(work, drain, act)
    assert drained == ["a"]


def test_work_of_one_conversation_is_done_in_the_order_it_was_stored() -> None:
    """Drains find their work themselves; whatever the wakes, each message is done once and in order."""
    inbox = [(key, number) for number in range(50) for key in ("a", "b", "c")]
    done: list[tuple[str, int]] = []
    work = LocalWork(nothing_waits, at_once=2)

    async def drain(key: str) -> None:
        while mine := [row for row in inbox if row[0] == key]:
            await asyncio.sleep(0)
            inbox.remove(mine[0])
            done.append(mine[0])

    async def act() -> None:
        for key, _ in list(inbox):
            woken(work, Lane.REPLY, key)
            await asyncio.sleep(0)
        while inbox:
            await asyncio.sleep(0.001)

    served(work, drain, act)
    for key in ("a", "b", "c"):
        assert [number for name, number in done if name == key] == list(range(50))


def test_cancelling_stops_what_runs() -> None:
    ended: list[str] = []
    work = LocalWork(nothing_waits)

    async def drain(key: str) -> None:
        try:
            await asyncio.sleep(60)
        finally:
            ended.append(key)

    async def act() -> None:
        woken(work, Lane.REPLY, "a")
        await asyncio.sleep(0.01)

    served(work, drain, act)
    assert ended == ["a"]
