"""The athlete file in and out of the store: sessions merged by their id, the same file twice changes nothing."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime

from bot.storage import applying, tables
from bot.storage.book import ClubBook
from bot.storage.estimates import ClubEstimates
from bot.storage.inserting import upsert
from bot.storage.members import ClubMembers
from bot.storage.rows import T
from bot.storage.values import ms
from core.club import DayRecord, Log, ProfileBecomes
from core.files import AthleteFile, DatedKit
from core.kit import kit_from_json, kit_to_json
from core.orders import Order
from core.problems import BadInput, Problem
from core.training import BodyMass, Session


@dataclass(frozen=True, slots=True)
class Filed:
    """What a file has changed: whether the athlete is new or its facts are, and how many of each kind."""

    added: bool = False
    profile: bool = False
    kits: int = 0
    bodyweights: int = 0
    sessions: int = 0
    orders: int = 0

    def __bool__(self) -> bool:
        return self != Filed()


class ClubFiles(ClubBook, ClubMembers, ClubEstimates):
    """Import and export of one member."""

    def athlete_file(self, member: str, today: date) -> AthleteFile:
        """All that a prescription depends on; KeyError for nobody of this club."""
        log = self.log(member)
        return AthleteFile(
            athlete=log.athlete,
            today=today,
            kits=tuple(
                DatedKit(None if since == date.min else since, kit_from_json(kit, f"kit of {member}, {since}"))
                for since, kit in log.kits
            ),
            bodyweights=log.bodyweights,
            sessions=log.sessions,
            orders=log.orders,
        )

    def put_file(self, member: str, file: AthleteFile, now: datetime) -> Filed:
        """Merge a file into the record of `member`, who is added where there is none; what has changed.

        A session replaces the one that has its id, or else whatever is on record for its day. BadInput where the
        file has two sessions of one day.
        """
        _refuse_two_a_day(file.sessions)
        athlete = replace(file.athlete, id=member)
        added = self.member(member) is None
        if added:
            self.add_member(athlete, now=now)
        log = self.log(member)
        if log.athlete != athlete:
            applying.apply(self._connection, self.club_id, ProfileBecomes(member, athlete), now)
        return Filed(
            added=added,
            profile=log.athlete != athlete,
            kits=self._put_kits(member, file.kits, log),
            bodyweights=self._put_masses(member, file.bodyweights, log),
            sessions=self._put_sessions(member, file.sessions, log, now),
            orders=self._put_orders(member, file.orders, log),
        )

    def _put_kits(self, member: str, kits: Iterable[DatedKit], log: Log) -> int:
        known = dict(log.kits)
        given = {date.min if one.since is None else one.since: kit_to_json(one.kit) for one in kits}
        new = {since: kit for since, kit in given.items() if known.get(since) != kit}
        for since, kit in new.items():
            upsert(self._connection, tables.Kit, self._key(member, since=since.isoformat()), {"content": kit})
        self._forget_since(member, new)
        return len(new)

    def _put_masses(self, member: str, masses: Iterable[BodyMass], log: Log) -> int:
        known = {one.day: one.mass_g for one in log.bodyweights}
        new = {day: mass for day, mass in {one.day: one.mass_g for one in masses}.items() if known.get(day) != mass}
        for day, mass_g in new.items():
            upsert(self._connection, tables.Bodyweight, self._key(member, day=day.isoformat()), {"mass_g": mass_g})
        self._forget_since(member, new)
        return len(new)

    def _put_sessions(self, member: str, sessions: Iterable[Session], log: Log, now: datetime) -> int:
        """First everything goes that makes room, then everything comes: two sessions may have changed places."""
        by_id = {one.id: one for one in log.sessions}
        new = [one for one in sessions if by_id.get(one.id) != one]
        gone = {by_id[one.id].day for one in new if one.id in by_id} | {one.day for one in new}
        for day in gone:
            for name in ("done_set", "session", "prescription"):
                there = (*self._at(T[name], member), T[name].c.day == day.isoformat())
                self._connection.execute(T[name].delete().where(*there))
        for one in new:
            at = self._key(member, day=one.day.isoformat())
            record = DayRecord(one.sets, one.skipped, one.pain)
            applying.put_record(self._connection, at, record, one.id)
            if one.prescribed:
                planned = [item.to_json() for item in one.prescribed]
                values = {"sets": planned, "advice": {}, "given_ms": ms(now)}
                upsert(self._connection, tables.Prescription, at, values)
        self._forget_since(member, gone)
        return len(new)

    def _put_orders(self, member: str, orders: Iterable[Order], log: Log) -> int:
        """New ones are added; one that differs by its end only takes the file's end, so that a lifted one stays so."""
        changed = 0
        numbers = [row.number for row in self._of("standing_order", member, "number")]
        known = {_endless(one): (number, one) for number, one in zip(numbers, log.orders, strict=True)}
        for order in orders:
            number, before = known.get(_endless(order), (max(numbers, default=0) + 1, None))
            if before == order:
                continue
            if before is None:
                numbers.append(number)
            key = self._key(member, number=number)
            upsert(self._connection, tables.StandingOrder, key, {"content": order.to_json()})
            known[_endless(order)] = (number, order)
            changed += 1
        return changed

    def _forget_since(self, member: str, days: Iterable[date]) -> None:
        first = min(days, default=None)
        if first is not None:
            self.forget_checkpoints(member, first)


def _endless(order: Order) -> Order:
    return replace(order, until=None)


def _refuse_two_a_day(sessions: Iterable[Session]) -> None:
    seen: dict[date, str] = {}
    problems: list[Problem] = []
    for one in sessions:
        other = seen.setdefault(one.day, one.id)
        if other != one.id:
            where = f"athlete file, session {one.id!r}"
            problems.append(Problem(where, f"is of {one.day}, as session {other!r} is", "make one session of the two"))
    if problems:
        raise BadInput(problems)
