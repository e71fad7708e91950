"""Impossible items of a history, named as values and left out of the estimate."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from core.strength.priors import Profile, mass_on, possible_mass
from core.training import Session, Set

LARGEST_RATIO = 3.2  # system 1RM over body mass; nobody known lifts 2.6 times on a bar
LEAST_CURVE = 0.018  # the flattest repetition curve that we believe
MOST_REPS = 150
MOST_ADDED_G = 250_000


@dataclass(frozen=True, slots=True)
class Fault:
    """One impossible item: a code, the session or day, the set's place from 0 (None: all of it), numbers."""

    code: str
    day: date
    session: str | None = None
    place: int | None = None
    numbers: tuple[tuple[str, float | str], ...] = ()


def faults(sessions: Iterable[Session], profile: Profile, today: date | None = None) -> tuple[Fault, ...]:
    """Every impossible item: `future`, `out_of_order`, `impossible_set`, `band_unknown`, `body_mass`."""
    found = [_weighing(one.day, one.mass_g) for one in profile.masses if not possible_mass(one)]
    found += [
        Fault("future", one.day, None, None, (("today", today.isoformat()),))
        for one in profile.masses
        if today is not None and one.day > today
    ]
    latest: date | None = None
    for session in sessions:
        trouble = session_fault(session, latest, today)
        if trouble is not None:
            found.append(trouble)
            continue
        latest = session.day
        found += [one for place in range(len(session.sets)) if (one := set_fault(session, place, profile))]
    return tuple(found)


def session_fault(session: Session, latest: date | None, today: date | None) -> Fault | None:
    """Why a whole session is left out."""
    if today is not None and session.day > today:
        return Fault("future", session.day, session.id, None, (("today", today.isoformat()),))
    if latest is not None and session.day < latest:
        return Fault("out_of_order", session.day, session.id, None, (("after", latest.isoformat()),))
    return None


def set_fault(session: Session, place: int, profile: Profile) -> Fault | None:
    """Why one set is left out."""
    done = session.sets[place]
    for label in done.bands if done.bands is not None else ():
        if profile.band(label) is None:
            return Fault("band_unknown", session.day, session.id, place, (("band", label),))
    mass_g = mass_on(profile, session.day).mass_g
    if done.added_g is not None and not _possible(done, done.added_g, mass_g):
        numbers = (("reps", done.reps), ("added_g", done.added_g), ("mass_g", mass_g))
        return Fault("impossible_set", session.day, session.id, place, numbers)
    return None


def _possible(done: Set, added_g: int, mass_g: int) -> bool:
    if not (0 <= done.reps <= MOST_REPS and 0 <= added_g <= MOST_ADDED_G):
        return False
    if done.bands:
        return True
    implied = (mass_g + added_g) * (1 + LEAST_CURVE * max(done.reps - 1, 0))
    return done.reps == 0 or implied <= LARGEST_RATIO * mass_g


def _weighing(day: date, mass_g: int) -> Fault:
    return Fault("body_mass", day, None, None, (("mass_g", mass_g),))
