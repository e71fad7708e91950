"""What one decision about one athlete knows: the log, the instant, the local day."""

from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from core.club import Entry, Log, Outcome
from core.phrases import Phrase, phrase
from core.speech import Button, Say, ToCoaches, ToMember
from core.training import Json, Session

MIDNIGHT_GRACE = timedelta(minutes=90)  # a session that runs past midnight stays on its day


@dataclass(frozen=True, slots=True)
class Turn:
    """`member` is the athlete; `now` an aware instant, for a message the instant it was written."""

    member: str
    log: Log
    now: datetime
    day: date | None = None  # the day this is about, where it is not the day of `now`

    @property
    def zone(self) -> ZoneInfo:
        return ZoneInfo(self.log.athlete.time_zone)

    @property
    def today(self) -> date:
        """The athlete's local date, but the evening before while a session runs past midnight."""
        if self.day is not None:
            return self.day
        local = self.now.astimezone(self.zone)
        running = [one for one in self.log.entries if one.reading.get("sets") and not one.reading.get("day")]
        if running and self.now - running[-1].heard < MIDNIGHT_GRACE and running[-1].day == _eve(local):
            return running[-1].day
        return local.date()

    def at(self, day: date, wall: str | time) -> datetime:
        """The instant of a wall time on a local date: in a gap the first valid one after it, in a fold the first."""
        from core.schedule import instant

        return instant(day, time.fromisoformat(wall) if isinstance(wall, str) else wall, self.zone)

    def session(self, day: date) -> Session:
        found = self.log.session(day)
        return found if found is not None else Session(id=day.isoformat(), day=day)

    def entries(self, day: date) -> tuple[Entry, ...]:
        return tuple(entry for entry in self.log.entries if entry.day == day)

    def with_log(self, log: Log) -> "Turn":
        return replace(self, log=log)

    def on(self, day: date) -> "Turn":
        """The same turn about another day."""
        return replace(self, day=day)

    def with_kits(self, kits: tuple[tuple[date, Json], ...]) -> "Turn":
        return self.with_log(replace(self.log, kits=kits))

    def bands(self) -> list[str]:
        return [band["label"] for band in self.kit().get("band", ())]

    def kit(self) -> Json:
        """The kit in force today, {} for none."""
        return next((kit for day, kit in reversed(self.log.kits) if day <= self.today), {})


def _eve(local: datetime) -> date:
    return local.date() - timedelta(days=1)


def answer(turn: Turn, *lines: Phrase, buttons: tuple[Button, ...] = ()) -> Outcome:
    """A plain answer to the athlete."""
    return Outcome(say=(Say(ToMember(turn.member), lines, buttons=buttons),))


def tell_coaches(*lines: Phrase) -> Outcome:
    """Something only a person can decide."""
    return Outcome(say=(Say(ToCoaches(), lines),))


def milliseconds(instant: datetime) -> int:
    """Orders what was said within a conversation."""
    return int(instant.astimezone(UTC).timestamp() * 1000)


def line(key: str, **values: object) -> Phrase:
    """A phrase of the conversation's own table."""
    return phrase(f"talk.{key}", **values)
