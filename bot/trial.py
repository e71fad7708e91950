"""The whole coach in one terminal: the real core, store, intake and delivery on a throw-away club and clock."""

from collections.abc import Callable
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from zoneinfo import ZoneInfo

from bot import demo
from bot.app import Service
from bot.clock import HandClock, MovableClock
from bot.delivery import Way
from bot.messengers.terminal import Terminal
from bot.people import take_in
from bot.planning import replan
from bot.storage import Database, Store, Transaction
from core.club import Member, Role
from core.files import athlete_file
from core.training import Athlete, Screening

CLUB = "club"
COACH = "coach"
GROUP = "club-chat"


class World:
    """An invented club. `show(chat, text)` is called for every message, also those of others."""

    def __init__(self, show: Callable[[str, str], None], clock: MovableClock | None = None) -> None:
        self._folder = TemporaryDirectory(prefix="plimsoll-")
        self._database = Database(f"sqlite:///{Path(self._folder.name) / 'club.db'}")
        start = datetime.combine(demo.START, time(6, 59), ZoneInfo(demo.ZONE)).astimezone(UTC)
        self.clock: MovableClock = HandClock(start) if clock is None else clock
        self._terminal = Terminal(show)
        self._service = Service(self._database, (Way(self._terminal),), self.clock)

    def open(self) -> "World":
        """Found the club."""
        self._database.open()
        self._database.run_now(self._found)
        return self

    def _found(self, tx: Transaction) -> None:
        now = self.clock.now()
        store = tx.create_club(CLUB, demo.CLUB, demo.ZONE, now)
        for data in demo.athlete_files():
            file = athlete_file(data)
            take_in(store, file, now)
            self._seat(store, file.athlete.id, now)
            store.show_as(file.athlete.id, file.athlete.name)
        coach = Athlete(COACH, demo.COACH, time_zone=demo.ZONE, screening=Screening.CLEAR)
        store.add_member(coach, Role.COACH)
        self._seat(store, COACH, now)
        store.open_chat(None, "terminal", GROUP, GROUP, now)
        for member in store.roster():
            replan(store, member, now)

    def _seat(self, store: Store, member: str, now: datetime) -> None:
        store.open_chat(member, "terminal", member, member, now)

    def members(self) -> tuple[Member, ...]:
        return self._database.run_now(lambda tx: tx.club(CLUB).roster(), write=False)

    def local(self, member: str) -> datetime:
        """The wall clock where this member is."""
        zone = self._database.run_now(lambda tx: tx.club(CLUB).log(member).athlete.time_zone, write=False)
        return self.clock.now().astimezone(ZoneInfo(zone))

    async def hear(self, chat: str, text: str) -> None:
        """One typed line, through the door that every messenger uses; then what it gives rise to."""
        self.clock.move_to(self.clock.now() + timedelta(seconds=20))
        await self._terminal.typed(chat, text, self.clock.now(), self._service.coaching.intake, chat != GROUP)
        await self._service.coaching.drain(f"terminal {chat}")
        await self._service.delivery.flush()

    async def pass_time(self, member: str) -> None:
        """To the next session of this member (or the next day where none is planned), through all that is due."""
        goal = await self._database.run(lambda tx: _next_session(tx, member, self.clock.now()), write=False)
        await self.until(goal)

    async def until(self, goal: datetime) -> None:
        """Through everything that is due up to `goal`, in its order."""
        while True:
            soonest = await self._database.run(lambda tx: tx.next_due(), write=False)
            if soonest is None or soonest > goal:
                break
            self.clock.move_to(soonest)
            await self._service.coaching.tick()
            await self._service.delivery.flush()
        self.clock.move_to(goal)
        await self._service.coaching.plan_ahead()

    def close(self) -> None:
        self._database.close()
        self._folder.cleanup()


def _next_session(tx: Transaction, member: str, now: datetime) -> datetime:
    planned = tx.club(CLUB).planned(member)
    sessions = [due for (kind, _), due in planned.items() if kind == "session" and due > now]
    return min(sessions, default=now + timedelta(days=1))
