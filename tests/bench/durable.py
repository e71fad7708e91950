"""The service as `plimsoll run` puts it together, without limits on its pace, and counting its commits.

`python -m tests.bench.durable API DATABASE`; at SIGUSR1 it prints how many transactions have written and committed.
"""

import asyncio
import logging
import signal
import sys

import sqlalchemy as sa

from bot.app import Service
from bot.clock import SystemClock
from bot.delivery import Way
from bot.messengers.telegram import Telegram
from bot.storage import Database

commits = 0


def count(connection: sa.Connection) -> None:
    global commits
    commits += bool(connection.get_execution_options().get("plimsoll_write", True))


async def main(api: str, url: str) -> None:
    logging.basicConfig(level=logging.WARNING)
    sa.event.listen(sa.Engine, "commit", count)
    stop = asyncio.Event()
    loop = asyncio.get_running_loop()
    loop.add_signal_handler(signal.SIGTERM, stop.set)
    loop.add_signal_handler(signal.SIGUSR1, lambda: print(commits, flush=True))
    database = Database(url).open()
    try:
        await Service(database, [Way(Telegram("1:TEST", api))], SystemClock()).serve(stop)
    finally:
        database.close()


if __name__ == "__main__":
    asyncio.run(main(sys.argv[1], sys.argv[2]))
