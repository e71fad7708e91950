"""Telegram: a `getUpdates` loop of our own that confirms only what is stored, and the verbs of a posting."""

import asyncio
import logging
from collections.abc import Awaitable, Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import partial
from typing import TYPE_CHECKING, Any, TypeVar

from bot.messengers import (
    Arrival,
    Batch,
    Can,
    Envelope,
    Intake,
    Misconfigured,
    PostButton,
    PostCopy,
    PostEdit,
    Posting,
    PostPicture,
    PostPin,
    PostReaction,
    PostText,
    Refused,
    Unavailable,
)
from bot.messengers.patience import LONGEST_BACKOFF_S, healing, stored
from bot.messengers.pieces import pieces, units
from bot.messengers.telegram_menu import Menu
from bot.messengers.telegram_text import CAPTION_LIMIT, TEXT_LIMIT, keyboard
from bot.messengers.telegram_updates import NAME, to_envelope
from bot.messengers.wire import safe_address

if TYPE_CHECKING:  # half a second that `plimsoll --help` need not pay
    from bot.messengers.telegram_client import Client

PUBLIC_API = "https://api.telegram.org"
MARK = "👍"  # reactions come from a fixed list; a tick is not in it
QUIET = timedelta(days=6)  # after a week without updates their numbers start anywhere

log = logging.getLogger("plimsoll.telegram")
Wire = dict[str, Any]
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Rhythm:
    """How long to wait, for what; tests are quicker."""

    poll_s: int = 25
    first_backoff_s: float = 1.0
    answer_within_s: float = 20.0
    between_pieces_s: float = 1.1


def checked_api(address: str) -> str:
    """The scheme, host and port of a Bot API, or a BadInput: the token would travel in clear text."""
    return safe_address(address, "PLIMSOLL_TELEGRAM_API", "token")


class Telegram:
    """The messenger. Its cursor is "OFFSET@SECONDS": what to ask for next, and when the last update came."""

    name = NAME
    can = Can(buttons=True, edits=True, reactions=True, pictures=True, silent=True, pins=True, copies=True)

    def __init__(
        self,
        token: str,
        api: str = PUBLIC_API,
        menus: Sequence[Menu] = (),
        rhythm: Rhythm | None = None,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        self._token, self._api, self._menus, self._now = token, checked_api(api), tuple(menus), now
        self._rhythm = Rhythm() if rhythm is None else rhythm
        self._made: Client | None = None
        self._answering: set[asyncio.Task[None]] = set()
        self._partly: dict[str, str] = {}  # posting and piece -> the id it got, until the whole has gone

    @property
    def _client(self) -> "Client":
        if self._made is None:
            from bot.messengers.telegram_client import Client

            self._made = Client(self._token, self._api, self._rhythm.answer_within_s)
        return self._made

    async def close(self) -> None:
        for task in self._answering:
            task.cancel()
        if self._made is not None:
            await self._made.leave()
            self._made = None

    # --- arrivals -------------------------------------------------------------------------------------

    async def serve(self, cursor: str | None, intake: Intake) -> None:
        """Ends only by cancellation, or with Misconfigured where waiting cannot help."""
        me = await self._healing(partial(self._client.call, "getMe", {}))
        for menu in self._menus:
            await self.show(menu)
        offset, last = _parsed(cursor)
        while True:
            asked = offset if last is None or self._now() - last < QUIET else None
            updates = await self._healing(partial(self._client.updates, asked, self._rhythm.poll_s))
            if not updates:
                await asyncio.sleep(0.02)  # should a server not wait, neither may we spin
                continue
            offset, last = _after(updates, offset), self._now()
            batch = self._batch(updates, _cursor(offset, last), str(me.get("username", "")))
            await self._healing(partial(stored, intake, batch, "Telegram", log))
            if offset == asked:  # no number to confirm them by: they will come again
                await asyncio.sleep(self._rhythm.first_backoff_s)

    async def _healing(self, act: Callable[[], Awaitable[T]]) -> T:
        return await healing(act, "Telegram", log, self._rhythm.first_backoff_s)

    def _batch(self, updates: Sequence[Wire], cursor: str | None, me: str) -> Batch:
        received = self._now()
        read = [to_envelope(update, received, me) for update in updates]
        envelopes = tuple(envelope for envelope in read if envelope is not None)
        for envelope in envelopes:
            if envelope.kind is Arrival.TAP:
                self._stop_spinner(envelope)
        return Batch(NAME, envelopes, cursor)

    def _stop_spinner(self, tap: Envelope) -> None:
        """Every tap is answered at once; that it was understood is said by what follows."""

        async def answer() -> None:
            with suppress(Unavailable, Refused, Misconfigured):  # too old is harmless
                await self._client.call("answerCallbackQuery", {"callback_query_id": tap.message.removeprefix("tap:")})

        task = asyncio.create_task(answer())
        self._answering.add(task)
        task.add_done_callback(self._answering.discard)

    async def show(self, menu: Menu) -> None:
        """Put a menu where it belongs. A menu is a comfort: its failure is told to the log only."""
        try:
            await self._client.call("setMyCommands", menu.to_wire())
        except (Unavailable, Refused) as error:
            log.warning("Telegram: the menu of commands was not set: %s", error.why)

    # --- postings -------------------------------------------------------------------------------------

    async def post(self, posting: Posting) -> str:
        try:
            return await self._post(posting)
        except Refused:
            self._forget(posting.posting)
            raise
        except Misconfigured as error:  # a posting is not at fault: it waits until the token is right
            raise Unavailable(error.why, wait_s=LONGEST_BACKOFF_S) from None

    async def _post(self, posting: Posting) -> str:
        match posting:
            case PostText():
                return await self._text(posting, posting.text)
            case PostPicture():
                return await self._picture(posting)
            case PostEdit():
                await self._edit(posting)
            case PostReaction(chat=chat, message=message):
                reaction = [{"type": "emoji", "emoji": MARK}]
                await self._about("setMessageReaction", chat, message, reaction=reaction)
            case PostCopy():
                return await self._copy(posting)
            case PostPin(chat=chat, message=message):
                await self._about("pinChatMessage", chat, message, disable_notification=True)
        return ""

    async def _text(self, posting: PostText | PostPicture, text: str) -> str:
        parts = pieces(text, TEXT_LIMIT)
        for number, part in enumerate(parts):
            data = {"text": part, "link_preview_options": {"is_disabled": True}}
            buttons = posting.buttons if number == len(parts) - 1 else ()
            message = await self._piece(posting, number, "sendMessage", data, buttons)
            if number < len(parts) - 1:
                await asyncio.sleep(self._rhythm.between_pieces_s)
        self._forget(posting.posting)
        return message

    async def _picture(self, posting: PostPicture) -> str:
        from bot.messengers.telegram_client import picture

        fits = units(posting.text) <= CAPTION_LIMIT
        data: Wire = {"photo": picture(posting.png)} | ({"caption": posting.text} if fits else {})
        message = await self._piece(posting, -1, "sendPhoto", data, posting.buttons if fits else ())
        if fits:
            self._forget(posting.posting)
            return message
        await asyncio.sleep(self._rhythm.between_pieces_s)
        return await self._text(posting, posting.text)

    async def _copy(self, posting: PostCopy) -> str:
        caption = pieces(posting.text, CAPTION_LIMIT)[0]
        source = {"from_chat_id": int(posting.from_chat), "message_id": int(posting.message)}
        sent = await self._client.call("copyMessage", {"chat_id": int(posting.chat), "caption": caption} | source)
        return str(sent["message_id"])

    async def _piece(
        self, posting: PostText | PostPicture, number: int, endpoint: str, data: Wire, buttons: Sequence[PostButton]
    ) -> str:
        """One message of a posting, unless an earlier try of the posting has got it through."""
        key = f"{posting.posting}/{number}"
        if key not in self._partly:
            data |= {"chat_id": int(posting.chat), "disable_notification": posting.silent or None}
            if posting.thread is not None:
                data["message_thread_id"] = int(posting.thread)
            if buttons:
                data["reply_markup"] = keyboard(buttons)
            sent = await self._client.call(endpoint, data)
            self._partly[key] = str(sent["message_id"])
        return self._partly[key]

    def _forget(self, posting: str) -> None:
        for key in [key for key in self._partly if key.rpartition("/")[0] == posting]:
            del self._partly[key]

    async def _edit(self, posting: PostEdit) -> None:
        if len(pieces(posting.text, TEXT_LIMIT)) > 1:
            raise Refused("an edited message must fit into one")
        more: Wire = {"reply_markup": keyboard(posting.buttons)} if posting.buttons else {}
        try:
            await self._about(
                "editMessageText", posting.chat, posting.message,
                text=posting.text, link_preview_options={"is_disabled": True}, **more,
            )  # fmt: skip
        except Refused as error:
            if "there is no text in the message to edit" not in error.why.casefold():
                raise
            await self._about("editMessageCaption", posting.chat, posting.message, caption=posting.text, **more)

    async def _about(self, endpoint: str, chat: str, message: str, **data: Any) -> None:
        """A repeatable verb on one message; that it changes nothing is success."""
        try:
            await self._client.call(endpoint, {"chat_id": int(chat), "message_id": int(message), **data})
        except Refused as error:
            if "message is not modified" not in error.why.casefold():
                raise

    async def link(self, code: str) -> str:
        """What opens a chat with us and brings `code`; asks the network for our name."""
        me = await self._client.call("getMe", {})
        return f"https://t.me/{me['username']}?start={code}"

    async def direct(self, chat: str) -> bool:
        """Telegram's private chats have exactly one reader and positive ids; groups and channels negative ones."""
        return not chat.startswith("-")


def _parsed(cursor: str | None) -> tuple[int | None, datetime | None]:
    if not cursor:
        return None, None
    offset, _, seconds = cursor.partition("@")
    return int(offset), datetime.fromtimestamp(int(seconds), UTC) if seconds else None


def _cursor(offset: int | None, last: datetime) -> str | None:
    return None if offset is None else f"{offset}@{int(last.timestamp())}"


def _after(updates: Sequence[Wire], offset: int | None) -> int | None:
    """One past the last update's number: the last, not the greatest, for numbers may start anew."""
    numbers = [update.get("update_id") for update in updates if isinstance(update, dict)]
    known = [number for number in numbers if isinstance(number, int)]
    return known[-1] + 1 if known else offset
