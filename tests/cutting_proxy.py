"""A relay that passes every request on and, when told, swallows the answer to the next one of a kind."""

import asyncio
from contextlib import suppress


class CuttingProxy:
    """TCP on loopback in front of `port`. `cut(b"/send/")`: the next request with that in it gets no answer."""

    def __init__(self, port: int) -> None:
        self._behind = port
        self._cut: bytes | None = None
        self._server: asyncio.Server | None = None
        self.swallowed = 0

    @property
    def url(self) -> str:
        assert self._server is not None
        return f"http://127.0.0.1:{self._server.sockets[0].getsockname()[1]}"

    def cut(self, mark: bytes) -> None:
        self._cut = mark

    async def __aenter__(self) -> "CuttingProxy":
        self._server = await asyncio.start_server(self._relay, "127.0.0.1", 0)
        return self

    async def __aexit__(self, *_: object) -> None:
        assert self._server is not None
        self._server.close()

    async def _relay(self, near_in: asyncio.StreamReader, near_out: asyncio.StreamWriter) -> None:
        try:
            far_in, far_out = await asyncio.open_connection("127.0.0.1", self._behind)
        except OSError:  # nobody is there now
            near_out.close()
            return
        silenced = asyncio.Event()

        async def there() -> None:
            while chunk := await near_in.read(65536):
                if self._cut is not None and self._cut in chunk:
                    self._cut = None
                    silenced.set()
                far_out.write(chunk)

        async def back() -> None:
            while chunk := await far_in.read(65536):
                if silenced.is_set():
                    self.swallowed += 1
                else:
                    near_out.write(chunk)

        ways = {asyncio.create_task(there()), asyncio.create_task(back())}
        try:
            await asyncio.wait(ways, return_when=asyncio.FIRST_COMPLETED)
        finally:
            for way in ways:
                way.cancel()
            for out in (far_out, near_out):
                with suppress(OSError):
                    out.close()
