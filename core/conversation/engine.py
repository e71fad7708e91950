"""The bridge to the engine: a log as an athlete file, and the next session as it would go out."""

from datetime import date, timedelta

from core.advice import Advice
from core.advise import advise
from core.club import Log
from core.files import AthleteFile, athlete_file
from core.training import Json


def file_of(log: Log, today: date) -> AthleteFile:
    """The athlete file that `plimsoll export` would print on that day."""
    return athlete_file(export(log, today), log.athlete.name)


def export(log: Log, today: date) -> Json:
    """The log as JSON of the athlete file."""
    return {
        "format": 1,
        "athlete": log.athlete.to_json(),
        "kit": [kit | {"from": day.isoformat()} for day, kit in log.kits],
        "bodyweights": [one.to_json() for one in log.bodyweights],
        "sessions": [one.to_json() for one in log.sessions],
        "orders": [one.to_json() for one in log.orders],
        "today": today.isoformat(),
    }


def session_on(log: Log, day: date) -> Advice:
    """What the engine prescribes for `day` (or says why not)."""
    return advise(file_of(log, day))


def session_after(log: Log, day: date) -> Advice:
    """The next session after `day`."""
    return advise(file_of(log, day + timedelta(days=1)))
