"""From the outbox to the messengers: in order per chat, replies first, within the limits, a few at a time.

A turn is one transaction: it writes down how the last tries ended and takes the next rows, with their words frozen
and their safety and membership checked again, so what goes out is already on record. Killed between two turns, the
rows under way stay begun and are sent again: the only window in which a message can come twice.
"""

import asyncio
import logging
import time
from collections.abc import Awaitable, Callable, Collection, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from bot.messengers import (
    Messenger,
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
from bot.outbox import Later, Refuse, Sent, Turn, Verb, Verdict, Waiting, after_refused, after_unavailable, wait
from bot.pace import UNLIMITED, Limits, Pace
from core.training import Json

log = logging.getLogger("plimsoll.delivery")

Chat = tuple[str, str]  # messenger, address
Draw = Callable[[Json], Awaitable[bytes]]
OUR_FAULTS = 3  # tries of a row at which the messenger itself stumbles
LONGEST_PAUSE_S = 5.0  # another process may have posted without waking us
LAST_TURN_S = 5.0  # what is under way may end in this time when we are stopped


class Outbox(Protocol):
    """What delivery needs of the store."""

    async def turn(
        self, ended: Sequence[tuple[Waiting, Verdict]], now: datetime, room: Mapping[str, int], busy: Collection[Chat]
    ) -> Turn:
        """In one transaction: write down `ended`, then begin at most `room[messenger]` rows of chats not `busy`.

        Of each chat the oldest due row, replies before broadcasts; none of a chat whose oldest row waits for a retry.
        A row that may not be sent any more is dropped and makes room for the next one.
        """

    async def recent(self, now: datetime) -> Sequence[tuple[Chat, datetime]]:
        """Which chats were called within the last minute, and when that ended: `now` where the end was not recorded."""


@dataclass(frozen=True, slots=True)
class Way:
    """One messenger, how fast it may be used, and which of its addresses are groups."""

    messenger: Messenger
    limits: Limits = UNLIMITED
    is_group: Callable[[str], bool] = lambda chat: False


async def no_pictures(spec: Json) -> bytes:
    raise Refused("this service draws no pictures")


class Delivery:
    """`serve` until cancelled; `wake` from any thread when something was posted."""

    def __init__(
        self,
        outbox: Outbox,
        ways: Sequence[Way],
        now: Callable[[], datetime],
        draw: Draw = no_pictures,
        at_once: int = 16,
    ) -> None:
        self._outbox, self._now, self._draw, self._at_once = outbox, now, draw, at_once
        self._ways = {way.messenger.name: way.messenger for way in ways}
        self._paces = {way.messenger.name: Pace(way.limits, way.is_group) for way in ways}
        self._under_way: dict[Chat, asyncio.Task[None]] = {}
        self._ended: list[tuple[Waiting, Verdict]] = []
        self._loop: asyncio.AbstractEventLoop | None = None
        self._news = asyncio.Event()

    def wake(self) -> None:
        if self._loop is not None and not self._loop.is_closed():
            self._loop.call_soon_threadsafe(self._news.set)

    async def serve(self) -> None:
        self._loop = asyncio.get_running_loop()
        failures, remembered = 0, False
        try:
            while True:
                self._news.clear()
                try:
                    remembered = remembered or await self._remember()
                    pause = await self._turn(self._at_once)
                    failures = 0
                except Exception as error:  # the store's: what has ended is kept, and written down when it is back
                    failures += 1
                    pause = min(0.1 * 2.0**failures, LONGEST_PAUSE_S)
                    log.warning("the outbox cannot be read now; next try in %g s (%r)", pause, error)
                    await asyncio.sleep(pause)
                    continue
                await self._rest(pause)
        finally:
            self._loop = None
            await self._last_turn()

    async def flush(self) -> None:
        """Send all that may be sent now, one after another, and return: for a trial or a test that owns the clock."""
        while True:
            await self._turn(self._at_once)
            if not self._under_way and not self._ended:
                return
            await asyncio.gather(*self._under_way.values())

    # --- a turn ---------------------------------------------------------------------------------------

    async def _turn(self, at_once: int) -> float:
        """Write down what has ended, begin what may begin; how long nothing more can be done, unless news comes."""
        tick, now = time.monotonic(), self._now()
        most = at_once - len(self._under_way)
        room = {name: pace.room(tick, most) for name, pace in self._paces.items()}
        waits = {(name, chat): at for name, pace in self._paces.items() for chat, at in pace.busy(tick).items()}
        ended, self._ended = self._ended, []
        try:
            turn = await self._outbox.turn(ended, now, room, waits.keys() | self._under_way.keys())
        except BaseException:
            self._ended = ended + self._ended
            raise
        for row in turn.rows:
            self._begin(row)
        return self._until_next(turn, waits)

    def _begin(self, row: Waiting) -> None:
        self._paces[row.messenger].start(row.chat)
        self._under_way[row.messenger, row.chat] = asyncio.create_task(self._send(row))

    def _until_next(self, turn: Turn, waits: Mapping[Chat, float | None]) -> float:
        pauses = [LONGEST_PAUSE_S]
        tick = time.monotonic()
        if turn.more:
            places = [pace.next_room(tick) for pace in self._paces.values() if pace.room(tick, 1) == 0]
            pauses += [at - tick for at in (*waits.values(), *places) if at is not None and at > tick]
        if turn.next_due is not None:
            pauses.append((turn.next_due - self._now()).total_seconds())
        return max(min(pauses), 0.0)

    async def _rest(self, pause: float) -> None:
        with suppress(TimeoutError):  # not wait_for: before Python 3.12 it can swallow our own cancellation
            async with asyncio.timeout(pause + 0.001):  # a clock may round down
                await self._news.wait()

    async def _remember(self) -> bool:
        tick, now = time.monotonic(), self._now()
        for (name, chat), at in await self._outbox.recent(now):
            if name in self._paces:
                self._paces[name].remember([(chat, tick - (now - at).total_seconds())])
        return True

    async def _last_turn(self) -> None:
        """What is under way may end, and is written down; what does not end stays begun."""
        if self._under_way:
            await asyncio.wait(self._under_way.values(), timeout=LAST_TURN_S)
        for task in list(self._under_way.values()):
            task.cancel()
        await asyncio.gather(*self._under_way.values(), return_exceptions=True)
        if self._ended:
            await self._outbox.turn(self._ended, self._now(), {}, ())
            self._ended = []

    # --- one try --------------------------------------------------------------------------------------

    async def _send(self, row: Waiting) -> None:
        pace = self._paces[row.messenger]
        try:
            verdict = await self._try(row)
            self._ended.append((row, verdict))
        finally:
            pace.end(row.chat, time.monotonic())
            del self._under_way[row.messenger, row.chat]
            self._news.set()

    async def _try(self, row: Waiting) -> Verdict:
        messenger = self._ways[row.messenger]
        try:
            if row.personal and row.words is not None and not await messenger.direct(row.chat):
                return Refuse("somebody else reads this chat")
            return Sent(await messenger.post(await self._posting(row)))
        except Unavailable as error:
            if error.wait_s is not None:
                self._paces[row.messenger].park(row.chat, time.monotonic() + error.wait_s)
            return after_unavailable(row, error, messenger.can, self._now())
        except Refused as error:
            return after_refused(row, error)
        except Exception as error:
            log.exception("%s stumbled over %s", row.messenger, row.id)
            why = f"our own fault: {error!r}"
            again = row.again or row.prescribes
            return Later(self._now() + wait(row.tries, None), again, why) if row.tries < OUR_FAULTS else Refuse(why)

    async def _posting(self, row: Waiting) -> Posting:
        words, target = row.words, row.target
        if row.verb in (Verb.REACTION, Verb.PIN):
            if target is None:
                raise Refused("the message to be marked is not known")
            mark = PostReaction if row.verb is Verb.REACTION else PostPin
            return mark(row.id, row.chat, target)
        if words is None:
            raise Refused("nothing to be said")
        if row.verb is Verb.EDIT:
            if target is None:
                raise Refused("the message to be edited is not known")
            return PostEdit(row.id, row.chat, target, words.text, words.buttons)
        copied = None if row.picture is None else row.picture.get("copy")
        if copied is not None:
            return self._copying(row, words.text, copied)
        if row.picture is not None and self._ways[row.messenger].can.pictures:
            png = await self._drawn(row.picture)
            if png is not None:
                return PostPicture(row.id, row.chat, png, words.text, words.buttons, row.silent, row.again, row.thread)
        return PostText(row.id, row.chat, words.text, words.buttons, row.silent, row.again, row.thread)

    def _copying(self, row: Waiting, text: str, copied: Json) -> Posting:
        """What they sent, where this network can show it again; else the words alone."""
        here = copied["messenger"] == row.messenger and self._ways[row.messenger].can.copies
        if not here:
            return PostText(row.id, row.chat, text, (), row.silent, row.again, row.thread)
        return PostCopy(row.id, row.chat, copied["chat"], copied["message"], text)

    async def _drawn(self, spec: Json) -> bytes | None:
        """A picture is an addition to words that stand alone: what cannot be drawn is left out."""
        try:
            return await self._draw(spec)
        except Exception:
            log.exception("a picture could not be drawn")
            return None
