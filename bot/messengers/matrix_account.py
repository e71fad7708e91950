"""The bot's account: signed in once, and once more where the server forgot us; always as the same device."""

import asyncio
import logging
import secrets
from collections.abc import Awaitable, Callable
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from bot.messengers import Misconfigured, Refused, Unavailable
from bot.messengers.matrix_session import Session, SignIn
from bot.redaction import keep_out_of_logs

if TYPE_CHECKING:  # a third of a second that `plimsoll --help` need not pay
    from bot.messengers.matrix_client import Client

Act = Callable[["Client"], Awaitable[Any]]

NOT_INSTALLED = "Matrix needs a library that is not installed; install plimsoll[matrix]"

log = logging.getLogger("plimsoll.matrix")


class SignedOut(Exception):
    """The token does not hold any more: sign in once more, then repeat."""


class Denied(Refused):
    """403 or 404: it depends on what was asked whether the chat is closed."""


def new_device() -> str:
    """A name that no earlier device bears: with it, the server's memory of transaction ids begins anew."""
    return f"PLIMSOLL{secrets.token_hex(4).upper()}"


class Account:
    """Calls as this user. Constructing does nothing."""

    def __init__(self, homeserver: str, user: str, password: str, session: Session, answer_within_s: float) -> None:
        self._homeserver, self._user, self._password = homeserver, user, password
        self._session, self._within_s = session, answer_within_s
        self._made: Client | None = None
        self._signing_in = asyncio.Lock()
        self._began = asyncio.Event()

    @property
    def me(self) -> str:
        """Our full id, once signed in."""
        return "" if self._made is None else str(self._made.user_id)

    async def close(self) -> None:
        made, self._made = self._made, None
        if made is not None:
            await made.close()

    async def call(self, act: Act) -> Any:
        """What `act` gives; signed out, we sign in once more. Raises Unavailable, Refused or Misconfigured."""
        client = await self.ready()
        token = client.access_token
        try:
            return await client.plain(act(client))
        except SignedOut:
            log.warning("Matrix: signed out; if this comes again, another program uses this account")
        client = await self.ready(stale=token)
        try:
            return await client.plain(act(client))
        except SignedOut:
            raise Unavailable("Matrix signs us out again and again") from None

    async def let_serve_begin(self, patience_s: float) -> None:
        """Where nothing is kept, `serve` may know from its cursor which device we are: leave the sign-in to it."""
        if self._made is None and self._kept() is None:
            with suppress(TimeoutError):
                await asyncio.wait_for(self._began.wait(), patience_s)

    async def ready(self, device: str | None = None, stale: str | None = None) -> "Client":
        """A signed-in client; `device`: the one it must be; `stale`: a token that does not hold any more."""
        async with self._signing_in:
            if self._made is None:
                self._made = self._new_client()
            client = self._made
            if client.access_token in ("", stale) or device not in (None, client.device_id):
                client.resume(await self._sign_in(client, device, stale))
            if device is not None:
                self._began.set()
            return client

    def _new_client(self) -> "Client":
        try:
            from bot.messengers.matrix_client import Client
        except ImportError as error:
            raise Misconfigured(f"{NOT_INSTALLED} ({error})") from None
        return Client(self._homeserver, self._user, self._within_s)

    async def _sign_in(self, client: "Client", device: str | None, stale: str | None) -> SignIn:
        kept = self._kept()
        if kept is not None and kept.token != stale and device in (None, kept.device):
            keep_out_of_logs(kept.token)
            return kept
        if device is None:
            device = new_device() if kept is None else kept.device
        fresh = await client.sign_in(self._password, device)
        keep_out_of_logs(fresh.token)
        try:
            self._session.save(fresh)
        except OSError as error:
            log.warning("Matrix: the sign-in cannot be kept (%s); the next start signs in anew", error)
        return fresh

    def _kept(self) -> SignIn | None:
        kept = self._session.load()
        wanted = (self._homeserver, self._user)
        return kept if kept is not None and (kept.homeserver, kept.account) == wanted else None
