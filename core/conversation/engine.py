"""The bridge to the engine: a log as an athlete file, and the next session as it would go out."""

from datetime import date, timedelta

from core.advice import Advice
from core.advise import advise
from core.club import Log
from core.files import AthleteFile, DatedKit
from core.kit import kit_from_json


def file_of(log: Log, today: date) -> AthleteFile:
    """The athlete file that `plimsoll export` would print on that day; what is on record is not judged again."""
    kits = tuple(DatedKit(None if since == date.min else since, kit_from_json(kit, "kit")) for since, kit in log.kits)
    return AthleteFile(log.athlete, today, kits, log.bodyweights, log.sessions, log.orders)


def session_on(log: Log, day: date) -> Advice:
    """What the engine prescribes for `day` (or says why not)."""
    return advise(file_of(log, day))


def session_after(log: Log, day: date) -> Advice:
    """The next session after `day`."""
    return advise(file_of(log, day + timedelta(days=1)))
