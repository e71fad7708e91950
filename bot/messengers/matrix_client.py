"""The Matrix client: one call, and what its failure means. Imported only when Matrix is really used."""

import asyncio
import io
import json
from collections.abc import Awaitable
from dataclasses import dataclass
from typing import Any

import aiohttp
from nio import AsyncClient, AsyncClientConfig, LocalProtocolError

from bot.messengers import Misconfigured, Refused, Unavailable
from bot.messengers.matrix_account import Denied, SignedOut
from bot.messengers.matrix_session import SignIn

NEVER_SENT = (aiohttp.ClientConnectorError, aiohttp.ConnectionTimeoutError, aiohttp.InvalidURL)
SIGNED_OUT = ("M_UNKNOWN_TOKEN", "M_MISSING_TOKEN")
REJECTED = (
    "the Matrix server does not accept this user and password; "
    "set PLIMSOLL_MATRIX_USER and PLIMSOLL_MATRIX_PASSWORD to those of the bot's own account"
)
NO_PASSWORDS = (
    "this Matrix server offers no sign-in with a password; "
    "give the bot an account on one that does, and set PLIMSOLL_MATRIX_HOMESERVER to it"
)
DEFAULT_WAIT_S = 5.0  # a 429 that names no time

Wire = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Answer:
    """A response as the server gave it."""

    status: int
    body: Any
    retry_after_s: float | None = None


class Client(AsyncClient):  # type: ignore[misc]
    """`AsyncClient` with its JSON left plain, without its memory of rooms and its endless retries.

    One event that the library cannot parse must not hide the others, and what is stored is for the intake to say.
    """

    def __init__(self, homeserver: str, account: str, answer_within_s: float = 20.0) -> None:
        config = AsyncClientConfig(
            max_timeouts=0, max_limit_exceeded=0, store_sync_tokens=False, encryption_enabled=False,
            request_timeout=answer_within_s,
        )  # fmt: skip
        super().__init__(homeserver, account, config=config)
        self._within_s = answer_within_s

    async def create_matrix_response(self, response_class: type, transport_response: Any, *_: Any, **__: Any) -> Answer:
        try:
            body = json.loads(await transport_response.read())
        except ValueError:  # a proxy's page
            body = None
        wait = transport_response.headers.get("Retry-After", "")
        return Answer(transport_response.status, body, float(wait) if wait.isdecimal() else None)

    async def receive_response(self, response: Any) -> None:
        """Nothing is remembered."""

    async def plain(self, call: Awaitable[Any]) -> Any:
        """The body of what succeeded. Raises Unavailable, Refused, SignedOut, never an error of the library's."""
        try:
            answer: Answer = await call
        except NEVER_SENT as error:
            raise Unavailable(f"Matrix cannot be reached ({type(error).__name__})") from None
        except (aiohttp.ClientError, TimeoutError, OSError) as error:
            raise Unavailable(f"Matrix did not answer ({type(error).__name__})", sent="unknown") from None
        except LocalProtocolError:  # another call is just signing us in
            raise Unavailable("Matrix has not signed us in yet", wait_s=1.0) from None
        if answer.status == 200 and isinstance(answer.body, dict | list):
            return answer.body
        raise meaning(answer)

    async def sign_in(self, password: str, device: str) -> SignIn:
        """A device's token. Raises Misconfigured where only the owner can help."""
        self.device_id, self.access_token = device, ""
        try:
            told = await self.plain(self.login(password, "Plimsoll"))
        except SignedOut:
            raise Misconfigured(REJECTED) from None
        except Denied as error:
            raise Misconfigured(NO_PASSWORDS if "M_UNRECOGNIZED" in error.why else REJECTED) from None
        except Refused as error:
            raise Misconfigured(f"the Matrix server refuses the sign-in: {error.why}") from None
        try:
            return SignIn(self.homeserver, self.user, told["user_id"], told["device_id"], told["access_token"])
        except KeyError:
            raise Unavailable("Matrix answered a sign-in without a token") from None

    def resume(self, sign_in: SignIn) -> None:
        self.restore_login(sign_in.user, sign_in.device, sign_in.token)

    async def put_picture(self, png: bytes) -> Any:
        """The library's own upload never gives up waiting."""

        upload = self.upload(lambda *_: io.BytesIO(png), "image/png", "plimsoll.png", filesize=len(png))
        answer, _ = await asyncio.wait_for(upload, self._within_s)
        return answer


def meaning(answer: Answer) -> Exception:
    """What a failed call means for the one who made it."""
    body = answer.body if isinstance(answer.body, dict) else {}
    code, words = str(body.get("errcode", "")), str(body.get("error", ""))
    why = f"Matrix: {code or answer.status}: {words}".rstrip(": ")
    if answer.status == 429 or code == "M_LIMIT_EXCEEDED":
        return Unavailable("Matrix asks us to slow down", wait_s=_wait(answer, body))
    if code in SIGNED_OUT:
        return SignedOut(why)
    if answer.status in (403, 404) and code:
        return Denied(why)
    if 400 <= answer.status < 500 and code:
        return Refused(why)
    return Unavailable(f"Matrix does not answer properly ({answer.status})", sent="unknown")


def _wait(answer: Answer, body: Wire) -> float:
    wait = body.get("retry_after_ms")
    if isinstance(wait, int | float) and not isinstance(wait, bool) and wait >= 0:
        return float(wait) / 1000
    return DEFAULT_WAIT_S if answer.retry_after_s is None else answer.retry_after_s
