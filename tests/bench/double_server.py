"""The Telegram double in a process of its own, so that a bench measures the bot's processor time alone.

`python -m tests.bench.double_server LATENCY_S` prints its address. POST /say {"chats", "texts"} lets every chat say
every text; GET /counts tells how many calls of each kind took effect, and when the last one did.
"""

import asyncio
import sys
import time
from collections import Counter

from aiohttp import web

from tests.telegram_double import TelegramDouble
from tests.telegram_rules import Pace


class DoubleServer(TelegramDouble):
    """The double with two addresses to steer it by."""

    def routes(self, app: web.Application) -> None:
        app.router.add_post("/say", self._say)
        app.router.add_get("/counts", self._counts)

    async def _say(self, request: web.Request) -> web.Response:
        asked = await request.json()
        for text in asked["texts"]:
            for chat in asked["chats"]:
                self.says(chat, text)
        return web.json_response({"at": time.monotonic()})

    async def _counts(self, request: web.Request) -> web.Response:
        last = self.sent[-1].at if self.sent else None
        return web.json_response({"counts": Counter(one.method for one in self.sent), "last": last})


async def main(latency_s: float) -> None:
    async with DoubleServer(pace=Pace(None, None, None), latency_s=latency_s) as double:
        print(double.url, flush=True)
        await asyncio.Event().wait()


if __name__ == "__main__":
    asyncio.run(main(float(sys.argv[1]) if len(sys.argv) > 1 else 0.0))
