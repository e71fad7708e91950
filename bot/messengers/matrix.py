"""Matrix: a `/sync` loop of our own that moves on only from what is stored, and the verbs of a posting."""

import asyncio
import logging
from collections.abc import Awaitable, Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from functools import partial
from typing import TYPE_CHECKING, Any, TypeVar

from bot.messengers import (
    Batch,
    Can,
    Envelope,
    Intake,
    Misconfigured,
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
from bot.messengers import matrix_content as content
from bot.messengers.matrix_account import Account, Act, Denied, new_device
from bot.messengers.matrix_events import NAME, Around, mapping, milliseconds, original_of, to_envelope
from bot.messengers.matrix_session import MemorySession, Session
from bot.messengers.matrix_sync import (
    FILTER,
    PAGE,
    PAGED,
    News,
    Place,
    RoomNews,
    in_order,
    news,
    objects,
    only_reader,
    readers_may_have_changed,
    while_inside,
)
from bot.messengers.patience import LONGEST_BACKOFF_S, healing, stored
from bot.messengers.pieces import pieces
from bot.messengers.wire import safe_address

if TYPE_CHECKING:
    from bot.messengers.matrix_client import Client

RECENT = timedelta(days=1)  # what is taken in at the very first sync, without a cursor
DECLINED = (
    "I cannot read encrypted rooms, so I leave this one. "
    "Please open a room with encryption switched off and invite me there."
)

log = logging.getLogger("plimsoll.matrix")
T = TypeVar("T")
Wire = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Rhythm:
    """How long to wait, for what; tests are quicker."""

    poll_s: float = 25.0
    first_backoff_s: float = 1.0
    answer_within_s: float = 20.0
    head_start_s: float = 5.0  # a posting leaves the first sign-in to `serve`, which knows the device


class Matrix:
    """The messenger. Its cursor is a `Place` as JSON."""

    name = NAME
    can = Can(edits=True, reactions=True, pictures=True, silent=True, pins=True, repeats_safely=True)

    def __init__(
        self,
        homeserver: str,
        user: str,
        password: str,
        session: Session | None = None,
        declined: str = DECLINED,
        rhythm: Rhythm | None = None,
        now: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        self._declined, self._now = declined, now
        self._rhythm = Rhythm() if rhythm is None else rhythm
        keep = MemorySession() if session is None else session
        address = safe_address(homeserver, "PLIMSOLL_MATRIX_HOMESERVER", "password")
        self._account = Account(address, user, password, keep, self._rhythm.answer_within_s)
        self._readers: dict[str, str | None] = {}  # room -> the one person who reads it, None where there are more
        self._uploaded: dict[str, str] = {}  # posting -> its picture's address, until the whole has gone

    async def close(self) -> None:
        await self._account.close()

    # --- arrivals -------------------------------------------------------------------------------------

    async def serve(self, cursor: str | None, intake: Intake) -> None:
        """Ends only by cancellation, or with Misconfigured where waiting cannot help."""
        place = Place.parse(cursor)
        place = replace(place, device=new_device() if place.device is None else place.device)
        await self._healing(partial(self._account.ready, place.device))
        while True:
            place = await self._answer(place)
            told = await self._healing(partial(self._sync, place.since))
            batch, then = await self._batch(told, place)
            if batch.envelopes or (then.join, then.leave) != (place.join, place.leave):
                await self._healing(partial(stored, intake, batch, "Matrix", log))
            if then.since == place.since:
                await asyncio.sleep(0.02)  # should a server not wait, neither may we spin
            place = then

    async def _healing(self, act: Callable[[], Awaitable[T]]) -> T:
        return await healing(act, "Matrix", log, self._rhythm.first_backoff_s)

    async def _sync(self, since: str | None) -> News:
        wait = int(self._rhythm.poll_s * 1000) if since else 1  # ms; the library takes 0 for ever
        answer = await self._account.call(lambda client: client.sync(wait, FILTER, since, set_presence="offline"))
        try:
            return news(answer, self._account.me)
        except (LookupError, ValueError):
            raise Unavailable("Matrix answered a sync without its next token") from None

    async def _answer(self, place: Place) -> Place:
        """Accept invitations and leave encrypted rooms. What fails now is tried again after the next sync."""
        owed = [(chat, self._join) for chat in place.join] + [(chat, self._decline) for chat in place.leave]
        for chat, act in owed:
            try:
                await act(chat)
            except Unavailable as error:
                log.info("Matrix: %s waits: %s", chat, error.why)
                continue
            except Refused as error:
                log.warning("Matrix: %s: %s", chat, error.why)
            place = place.without(chat)
        return place

    async def _join(self, chat: str) -> None:
        await self._account.call(lambda client: client.join(chat))

    async def _decline(self, chat: str) -> None:
        said = {"msgtype": "m.text", "body": self._declined}
        await self._asked_once(lambda client: client.room_send(chat, "m.room.message", said, "declined"))
        await self._account.call(lambda client: client.room_leave(chat))

    async def _batch(self, told: News, place: Place) -> tuple[Batch, Place]:
        received, found = self._now(), []
        for room in told.rooms:
            found += await self._envelopes(room, place.since, received)
        then = place.after(told)
        return Batch(NAME, tuple(found), then.to_text()), then

    async def _envelopes(self, room: RoomNews, since: str | None, received: datetime) -> list[Envelope]:
        horizon = 0 if since else int((received - RECENT).timestamp() * 1000)
        past = [] if room.gap is None else await self._missed(room.chat, room.gap, since, horizon)
        every = while_inside([*past, *room.events], self._account.me)
        events = in_order(event for event in every if milliseconds(event) >= horizon)
        if not events:
            return []
        if readers_may_have_changed(events) or room.left:
            self._readers.pop(room.chat, None)
        direct = await self._reader(room.chat) is not None
        around = Around(room.chat, self._account.me, received, direct, room.left, room.encrypted, room.names)
        read = [to_envelope(event, around, await self._original(room.chat, event, events)) for event in events]
        return [envelope for envelope in read if envelope is not None]

    async def _missed(self, chat: str, back: str, since: str | None, horizon: int) -> list[Wire]:
        """What lies between the last sync and this one, the oldest first."""
        found: list[Wire] = []
        while True:
            page = await self._asked(partial(_page, chat, back, since))
            chunk, end = objects(mapping(page).get("chunk")), mapping(page).get("end")
            found += chunk
            if not isinstance(end, str) or end == back or any(milliseconds(event) < horizon for event in chunk):
                return found[::-1]
            back = end

    async def _original(self, chat: str, event: Wire, nearby: Sequence[Wire]) -> Wire | None:
        about = original_of(event)
        if about is None:
            return None
        for other in nearby:
            if other.get("event_id") == about:
                return other
        found = await self._asked(lambda client: client.room_get_event(chat, about))
        return None if found is None else mapping(found)

    async def _asked(self, act: Act) -> Any:
        """Asked until there is an answer; None where it is refused."""
        return await self._healing(partial(self._asked_once, act))

    async def _asked_once(self, act: Act) -> Any:
        """None where it is refused."""
        try:
            return await self._account.call(act)
        except Refused:
            return None

    async def _reader(self, chat: str) -> str | None:
        if chat not in self._readers:
            state = await self._asked(lambda client: client.room_get_state(chat))
            self._readers[chat] = only_reader(objects(state), self._account.me)
        return self._readers[chat]

    async def link(self, code: str) -> str:
        """What opens a chat with us. No such address carries words: the code is the first message there."""
        if not self._account.me:
            await self._account.ready()
        return f"https://matrix.to/#/{self._account.me}"

    async def direct(self, chat: str) -> bool:
        """By the room's whole state, asked now: its flag says nothing, and somebody may just have been invited."""
        try:
            state = await self._account.call(lambda client: client.room_get_state(chat))
        except Refused:
            return False
        self._readers[chat] = only_reader(objects(state), self._account.me)
        return self._readers[chat] is not None

    # --- postings -------------------------------------------------------------------------------------

    async def post(self, posting: Posting) -> str:
        await self._account.let_serve_begin(self._rhythm.head_start_s)
        try:
            return await self._post(posting)
        except Denied as error:
            raise Refused(error.why, closed=not await self._inside(posting.chat)) from None
        except Misconfigured as error:  # a posting is not at fault: it waits until the password is right
            raise Unavailable(error.why, wait_s=LONGEST_BACKOFF_S) from None

    async def _post(self, posting: Posting) -> str:
        match posting:
            case PostText():
                return await self._text(posting, pieces(posting.text, content.TEXT_LIMIT), 0)
            case PostPicture():
                return await self._picture(posting)
            case PostEdit():
                await self._edit(posting)
            case PostReaction():
                await self._react(posting)
            case PostPin():
                await self._pin(posting)
            case PostCopy():  # not offered: see `can`
                raise Refused("a message of another room cannot be shown here")
        return ""

    async def _text(self, posting: PostText | PostPicture, parts: Sequence[str], first: int) -> str:
        sent, person = "", self._readers.get(posting.chat)
        for number, part in enumerate(parts, first):
            sent = await self._send(posting, content.text(posting, part, person), number)
        return sent

    async def _picture(self, posting: PostPicture) -> str:
        if posting.posting not in self._uploaded:
            told = await self._account.call(lambda client: client.put_picture(posting.png))
            if "content_uri" not in told:
                raise Unavailable("Matrix took a picture without saying where it lies", sent="unknown")
            self._uploaded[posting.posting] = str(told["content_uri"])
        caption, *more = pieces(posting.text, content.TEXT_LIMIT)
        sent = await self._send(posting, content.picture(posting, self._uploaded[posting.posting], caption), 0)
        last = await self._text(posting, more, 1) if more else sent
        del self._uploaded[posting.posting]
        return last

    async def _edit(self, posting: PostEdit) -> None:
        if len(pieces(posting.text, content.TEXT_LIMIT)) > 1:
            raise Refused("an edited message must fit into one")
        original = await self._account.call(lambda client: client.room_get_event(posting.chat, posting.message))
        if original.get("sender") != self._account.me:
            raise Refused("only a message of ours can be edited")
        await self._send(posting, content.edit(posting, mapping(original.get("content"))), 0)

    async def _react(self, posting: PostReaction) -> None:
        try:
            await self._send(posting, content.reaction(posting.message), 0, "m.reaction")
        except Refused as error:
            if "M_DUPLICATE_ANNOTATION" not in error.why:
                raise

    async def _pin(self, posting: PostPin) -> None:
        kind = "m.room.pinned_events"
        state = await self._asked_once(lambda client: client.room_get_state_event(posting.chat, kind))
        pinned = content.pinned(state, posting.message)
        if pinned is not None:
            await self._account.call(lambda client: client.room_put_state(posting.chat, kind, {"pinned": pinned}))

    async def _send(self, posting: Posting, body: Wire, part: int, kind: str = "m.room.message") -> str:
        key = content.transaction(posting, part)
        told = await self._account.call(lambda client: client.room_send(posting.chat, kind, dict(body), key))
        return str(told.get("event_id", ""))

    async def _inside(self, chat: str) -> bool:
        """Whether we are in the room still: servers word a refusal as they like."""
        told = await self._account.call(lambda client: client.joined_rooms())
        return chat in told.get("joined_rooms", ())


def _page(chat: str, back: str, since: str | None, client: "Client") -> Awaitable[Any]:
    """A page of the past, the newest first."""
    page: Awaitable[Any] = client.room_messages(chat, back, since, limit=PAGE, message_filter=PAGED)
    return page
