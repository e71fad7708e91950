"""The Bot API client: one call, and what its failure means. Imported only when Telegram is really used."""

import asyncio
import warnings
from datetime import timedelta
from typing import Any
from urllib.parse import urlsplit

import httpx
from telegram import Bot, InputFile
from telegram.error import (
    BadRequest,
    ChatMigrated,
    Conflict,
    Forbidden,
    InvalidToken,
    RetryAfter,
    TelegramError,
)
from telegram.request import BaseRequest, HTTPXRequest
from telegram.warnings import PTBDeprecationWarning

from bot.messengers import Misconfigured, Refused, Unavailable
from bot.messengers.telegram_updates import ALLOWED_UPDATES
from bot.messengers.wire import LOOPBACK

SENDS_AT_ONCE = 16
NEVER_SENT = (httpx.ConnectError, httpx.ConnectTimeout, httpx.PoolTimeout, httpx.ProxyError, httpx.UnsupportedProtocol)
GONE = ("chat not found", "peer_id_invalid", "chat was deleted", "chat was deactivated", "user is deactivated")
REJECTED = "Telegram does not accept the bot's token; copy it again from BotFather into PLIMSOLL_TELEGRAM_TOKEN"
WEBHOOK = (
    "a webhook is still set for this Telegram bot, so its messages go elsewhere; remove it with deleteWebhook, "
    "or make a bot of its own for Plimsoll"
)
SECOND = "another program is reading this Telegram bot's messages; stop it, or give Plimsoll a bot of its own"

Wire = dict[str, Any]


class Connections(BaseRequest):
    """Several clients of one connection each, the last used first.

    One client with a pool looks through all its connections at every call, which costs more than the call.
    """

    def __init__(self, count: int, **settings: Any) -> None:
        self._settings = settings
        self._all = [HTTPXRequest(1, **settings)]
        self._idle = list(self._all)
        self._places = asyncio.Semaphore(count)

    @property
    def read_timeout(self) -> float | None:
        return self._all[0].read_timeout

    async def initialize(self) -> None:
        for request in self._all:
            await request.initialize()

    async def shutdown(self) -> None:
        for request in self._all:
            await request.shutdown()

    async def do_request(self, *args: Any, **kwargs: Any) -> tuple[int, bytes]:
        async with self._places:
            request = self._idle.pop() if self._idle else self._another()
            try:
                return await request.do_request(*args, **kwargs)
            finally:
                self._idle.append(request)

    def _another(self) -> HTTPXRequest:
        request = HTTPXRequest(1, **self._settings)
        self._all.append(request)
        return request


class Client(Bot):
    """`Bot` with its plain JSON left plain: one update that the library cannot parse must not hide the others."""

    def __init__(self, token: str, api: str, answer_within_s: float = 20.0) -> None:
        # the library warns about its own exception, at every 429
        warnings.filterwarnings("ignore", message=".*retry_after.*", category=PTBDeprecationWarning)
        trusting = urlsplit(api).hostname not in LOOPBACK  # no proxy between us and ourselves
        patience: Wire = {
            "connect_timeout": 10.0, "read_timeout": answer_within_s, "write_timeout": answer_within_s,
            "pool_timeout": 10.0, "httpx_kwargs": {"trust_env": trusting, "verify": httpx.create_ssl_context()},
        }  # fmt: skip
        super().__init__(
            token,
            base_url=f"{api.rstrip('/')}/bot",
            base_file_url=f"{api.rstrip('/')}/file/bot",
            request=Connections(SENDS_AT_ONCE, **patience),
            get_updates_request=HTTPXRequest(1, **patience),
        )

    def __repr__(self) -> str:
        return "Client()"  # the library's shows the token

    async def updates(self, offset: int | None, wait_s: int) -> list[Wire]:
        """The next updates as JSON; asking with an offset confirms everything before it."""
        asked: Wire = {"timeout": wait_s, "limit": 100, "allowed_updates": list(ALLOWED_UPDATES)}
        if offset is not None:
            asked["offset"] = offset
        result = await self.call("getUpdates", asked, read_timeout=wait_s + 10.0)
        if not isinstance(result, list):
            raise Unavailable("Telegram answered without a list of updates")
        return result

    async def call(self, endpoint: str, data: Wire, read_timeout: float | None = None) -> Any:
        """The plain result. Raises Unavailable, Refused or Misconfigured, never an error of the library's."""
        try:
            if read_timeout is None:
                return await self._post(endpoint, data)
            return await self._post(endpoint, data, read_timeout=read_timeout)
        except TelegramError as error:
            raise meaning(error) from None  # the library's own texts may name the token

    async def leave(self) -> None:
        for request in self._request:
            await request.shutdown()


def picture(png: bytes) -> InputFile:
    return InputFile(png, filename="plimsoll.png")


def meaning(error: TelegramError) -> Unavailable | Refused | Misconfigured:
    """What a failed call means for the one who made it."""
    if isinstance(error, RetryAfter):
        return Unavailable("Telegram asks us to slow down", wait_s=_seconds(error.retry_after))
    if isinstance(error, ChatMigrated):
        return Refused("the group has moved", moved_to=str(error.new_chat_id))
    if isinstance(error, Forbidden):
        return Refused(f"Telegram: {error.message}", closed=True)
    if isinstance(error, InvalidToken):
        return Misconfigured(REJECTED)
    if isinstance(error, Conflict):
        return Unavailable(WEBHOOK if "webhook" in error.message.casefold() else SECOND)
    if isinstance(error, BadRequest):
        return Refused(f"Telegram: {error.message}", closed=any(word in error.message.casefold() for word in GONE))
    return _of_the_network(error)


def _of_the_network(error: TelegramError) -> Unavailable | Refused:
    """The library wraps httpx: only the cause tells whether the request can have arrived."""
    if "Request Entity Too Large" in error.message:
        return Refused("Telegram: the message is too large")
    if error.message.startswith("Too Many Requests"):
        return Unavailable("Telegram asks us to slow down", wait_s=1.0)
    if isinstance(error.__cause__, NEVER_SENT):
        return Unavailable(f"Telegram cannot be reached ({type(error.__cause__).__name__})")
    cause = error.message if error.__cause__ is None else type(error.__cause__).__name__
    return Unavailable(f"Telegram did not answer ({cause})", sent="unknown")


def _seconds(wait: float | timedelta) -> float:
    return wait.total_seconds() if isinstance(wait, timedelta) else float(wait)
