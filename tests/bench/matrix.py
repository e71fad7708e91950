"""Matrix against the clock, on a real server: `python -m tests.bench.matrix`. Prints wall and our own processor time.

Synapse shares the machine and takes most of the wall time; the processor time is the bot's alone.
"""

import asyncio
import time
from collections.abc import Iterator
from contextlib import contextmanager

from bot.messengers import PostText
from tests.bot.messengers.matrix_talk import Inbox, invited, served, until
from tests.synapse import Synapse, serving

MISSED, POSTED = 400, 200


@contextmanager
def timed(what: str, count: int) -> Iterator[None]:
    wall, own = time.perf_counter(), time.process_time()
    yield
    wall, own = time.perf_counter() - wall, time.process_time() - own
    print(f"{what}: {count} in {wall:.2f} s, {count / wall:.0f}/s; ours {1000 * own / count:.2f} ms each")


async def measure(server: Synapse) -> None:
    async with invited(server) as scene:
        await scene.ann.says(scene.chat, "before")
        await until(lambda: scene.inbox.texts)
        await scene.away()
        for number in range(MISSED):
            await scene.ann.says(scene.chat, str(number))
        later = Inbox()
        with timed("taken in after a pause", MISSED):
            async with served(scene.account.messenger(), later, scene.inbox.cursor):
                await until(lambda: len(later.texts) == MISSED)
        with timed("posted one after the other", POSTED):
            for number in range(POSTED):
                await scene.bot.post(PostText(str(number), scene.chat, "5 sets of 5 at 7.5 kg", silent=True))
        with timed("asked who reads the chat", POSTED):
            for _ in range(POSTED):
                await scene.bot.direct(scene.chat)


if __name__ == "__main__":
    with serving() as running:
        asyncio.run(measure(running))
