"""The one file that names concrete parts: which messengers, which store, which clock."""

import asyncio
import logging
import os
import signal
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

from bot.clock import Clock, SystemClock
from bot.coaching import Coaching
from bot.config import Settings, data_directory
from bot.delivery import Delivery, Way
from bot.heartbeat import heartbeat
from bot.messengers import Can, Messenger, Misconfigured, Refused, Unavailable
from bot.outbox import Words
from bot.redaction import keep_out_of_logs
from bot.storage import Database, Transaction
from bot.storage.outgoing import Say, StoredOutbox
from bot.wording import post_buttons, text_of, with_choices
from bot.work import LocalWork
from core.club import Role
from core.language import LANGUAGES, REFERENCE, render
from core.phrases import Phrase, phrase
from core.problems import BadInput, Problem
from core.replies import Context, read
from core.speech import Button, Lane
from core.training import Json
from core.units import Unit

if TYPE_CHECKING:
    from bot.messengers.telegram_menu import Menu

log = logging.getLogger("plimsoll")
PATIENCE_S = 10.0


def wording(cans: Mapping[str, Can]) -> Say:
    """How phrases are said at each messenger: buttons where it has them, numbered lines elsewhere."""

    def say(
        messenger: str, lines: Sequence[Phrase], buttons: Sequence[Button], language: str, unit: Unit, again: bool
    ) -> Words:
        said = (phrase("talk.again"), *lines) if again else lines
        text = text_of(said, language, unit)
        if not buttons:
            return Words(text)
        if cans[messenger].buttons:
            return Words(text, post_buttons(buttons, language, unit))
        return Words(with_choices(text, buttons, language, unit))

    return say


async def drawn(spec: Json) -> bytes:
    """A picture's bytes, drawn outside the loop."""
    from bot.pictures import draw

    return await asyncio.to_thread(draw, spec)


class Service:
    """Every messenger that is configured, until `stop` is set."""

    def __init__(self, database: Database, ways: Sequence[Way], clock: Clock) -> None:
        self._database, self._ways, self._clock = database, ways, clock
        cans = {way.messenger.name: way.messenger.can for way in ways}
        outbox = StoredOutbox(database, wording(cans), [name for name, can in cans.items() if can.edits])
        self.delivery = Delivery(outbox, ways, clock.now, drawn)
        # one thread writes to SQLite: more at once would only stand before the outbox in its queue
        self._work = LocalWork(self._waiting, at_once=2 if database.is_sqlite else 8)
        self.coaching = Coaching(database, clock, self._wake, self._posted)
        self.not_served: list[Problem] = []  # messengers that need their owner first

    def _wake(self, tx: Transaction, key: str) -> None:
        self._work.wake(tx, Lane.REPLY, key)

    def _posted(self, tx: Transaction) -> None:
        tx.after_commit(self.delivery.wake)

    async def _waiting(self) -> list[tuple[Lane, str]]:
        keys = await self._database.run(lambda tx: tx.waiting(), write=False)
        return [(Lane.REPLY, key) for key in keys]

    async def serve(self, stop: asyncio.Event) -> None:
        """Intake, work, delivery and the clock, side by side; the end of one messenger is not the end of the rest."""
        beat = heartbeat(self.coaching.tick, self.coaching.plan_ahead)
        parts = [self._work.serve(self.coaching.drain), self.delivery.serve()]
        parts.append(self._messengers())
        tasks = [asyncio.create_task(part) for part in parts]
        waiter = asyncio.create_task(stop.wait())
        try:
            await asyncio.to_thread(read, "1", Context())  # the words of all languages, before the first message
            await self.coaching.plan_ahead()
            beat.start()
            await asyncio.wait([waiter, *tasks], return_when=asyncio.FIRST_COMPLETED)
        finally:
            if beat.running:
                beat.shutdown(wait=False)
            for task in (waiter, *tasks):
                task.cancel()
            ended = await asyncio.gather(*tasks, return_exceptions=True)
            for way in self._ways:
                await way.messenger.close()
        for error in ended:
            if isinstance(error, Exception):
                log.error("a part of the service failed: %r", error)

    async def _messengers(self) -> None:
        """Ends only where no messenger can be served."""
        await asyncio.gather(*(self._messenger(way.messenger) for way in self._ways))

    async def _messenger(self, messenger: Messenger) -> None:
        cursor = await self._database.run(lambda tx: tx.cursor(messenger.name), write=False)
        try:
            await messenger.serve(cursor, self.coaching.intake)
        except Misconfigured as error:
            log.error("%s is not served: %s", messenger.name, error.why)
            self.not_served.append(Problem(messenger.name, "is not served", error.why))


def ways_of(settings: Settings, coaches: Sequence[tuple[str, str]] = ()) -> tuple[Way, ...]:
    """The configured messengers, each with its limits; `coaches`: (messenger, chat) of those who see a coach's menu."""
    ways: list[Way] = []
    if settings.telegram is not None:
        from bot.messengers.telegram import Telegram
        from bot.pace import Limits

        shown = menus([chat for messenger, chat in coaches if messenger == "telegram"])
        telegram = Telegram(settings.telegram.token, settings.telegram.api, shown)
        ways.append(Way(telegram, Limits(), is_group=lambda chat: chat.startswith("-")))
    if settings.matrix is not None:
        from bot.messengers.matrix import Matrix
        from bot.messengers.matrix_session import FileSession

        account, session = settings.matrix, FileSession(session_file(settings.database))
        ways.append(Way(Matrix(account.homeserver, account.user, account.password, session)))
    return tuple(ways)


def session_file(database: str) -> Path:
    """Beside the database, yet apart from it: copies of the database must not carry a token."""
    path = database.removeprefix("sqlite:///")
    return Path(f"{path}.matrix") if path not in ("", database) else data_directory(os.environ) / "session.matrix"


MENU: Final = ("next", "hang", "why", "log", "undo", "help")
COACH_MENU: Final = ("week", "help")


def menus(coach_chats: Sequence[str]) -> tuple["Menu", ...]:
    """What the messenger offers to type, in every language; never more than a reminder."""
    from bot.messengers.telegram_menu import Menu

    def entries(names: Sequence[str], language: str) -> tuple[tuple[str, str], ...]:
        return tuple((name, render(phrase(f"talk.menu.{name}"), language, Unit.KG)) for name in names)

    private = [Menu("private", entries(MENU, one), None if one == REFERENCE else one) for one in LANGUAGES]
    groups = [Menu("groups", entries(("board",), one), None if one == REFERENCE else one) for one in LANGUAGES]
    return (*private, *groups, *(Menu(chat, entries(COACH_MENU, REFERENCE)) for chat in coach_chats))


def _coach_chats(tx: Transaction) -> list[tuple[str, str]]:
    stores = [tx.club(club) for club in tx.clubs()]
    coaches = [(store, one.id) for store in stores for one in store.roster() if one.role is Role.COACH]
    return [place for store, coach in coaches for place in store.chats(coach)]


async def serve(settings: Settings) -> None:
    """`plimsoll run`: until SIGTERM or SIGINT, then a clean stop within seconds.

    Raises BadInput where no messenger can be served.
    """
    logging.basicConfig(level=settings.log_level, format="%(asctime)s %(levelname)s %(name)s: %(message)s")
    keep_out_of_logs(*settings.secrets())
    stop = asyncio.Event()
    for number in (signal.SIGTERM, signal.SIGINT):
        asyncio.get_running_loop().add_signal_handler(number, stop.set)
    database = Database(settings.database).open()
    try:
        coaches = database.run_now(_coach_chats, write=False)
        service = Service(database, ways_of(settings, coaches), SystemClock())
        await service.serve(stop)
    finally:
        database.close()
    if service.not_served and not stop.is_set():
        raise BadInput(service.not_served)


async def links(ways: Sequence[Way], code: str) -> dict[str, str | Exception]:
    """Each messenger's link for a code, or why it cannot be reached."""
    found: dict[str, str | Exception] = {}
    for way in ways:
        try:
            found[way.messenger.name] = await asyncio.wait_for(way.messenger.link(code), PATIENCE_S)
        except (Unavailable, Refused, Misconfigured, TimeoutError) as error:
            found[way.messenger.name] = error
        finally:
            await way.messenger.close()
    return found


def invite_links(settings: Settings, code: str) -> dict[str, str]:
    """A link each for the messengers that answer now."""
    found = asyncio.run(links(ways_of(settings), code))
    return {name: link for name, link in found.items() if isinstance(link, str)}
