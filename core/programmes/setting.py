"""From what is on record to the situation that a rule sees."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from functools import lru_cache
from typing import TYPE_CHECKING

from core.files import DatedKit
from core.kit import Kit
from core.orders import Order, OrderKind
from core.programmes.situation import GRIPS, Rung
from core.training import Athlete, BodyMass, Exercise, Session

if TYPE_CHECKING:
    from core.strength import BandReading, Belief, Fault, Profile


def main_exercise(athlete: Athlete) -> Exercise:
    """The first of the athlete's exercises that has an estimate, else the pull-up."""
    known = (*GRIPS, Exercise.DIP)
    return next((one for one in athlete.exercises if one in known), Exercise.PULL_UP)


def profile_of(athlete: Athlete, kits: tuple[DatedKit, ...], masses: tuple[BodyMass, ...], today: date) -> "Profile":
    """What the estimate reckons with: every band ever in a kit, as the latest kit up to `today` knows it."""
    from core.strength import Profile

    readings: dict[str, BandReading] = {}
    for dated in sorted(kits, key=lambda one: one.since or date.min):
        if dated.since is None or dated.since <= today:
            readings |= {one.label: one for one in band_readings(dated.kit)}
    past = tuple(one for one in masses if one.day <= today)
    return Profile(past, athlete.sex, athlete.born, tuple(readings.values()))


def oldest_first(sessions: tuple[Session, ...]) -> tuple[Session, ...]:
    """As they are, but a file that runs from the newest to the oldest throughout is read backwards."""
    days = [one.day for one in sessions]
    backwards = len(set(days)) > 2 and days == sorted(days, reverse=True)
    return tuple(reversed(sessions)) if backwards else sessions


def without_faults(sessions: Iterable[Session], found: "tuple[Fault, ...]") -> tuple[Session, ...]:
    """The sessions without the impossible ones, and these without their impossible sets."""
    whole = {(one.session, one.day) for one in found if one.session is not None and one.place is None}
    places = {(one.session, one.day, one.place) for one in found}
    return tuple(_possible(session, places) for session in sessions if (session.id, session.day) not in whole)


def _possible(session: Session, places: "set[tuple[str | None, date, int | None]]") -> Session:
    if not any((session.id, session.day, place) in places for place in range(len(session.sets))):
        return session
    kept = [(place, one) for place, one in enumerate(session.sets) if (session.id, session.day, place) not in places]
    asked = session.prescribed
    left = tuple(asked[place] for place, _ in kept if place < len(asked)) + asked[len(session.sets) :]
    return replace(session, sets=tuple(one for _, one in kept), prescribed=left)


def rungs_of(kit: Kit, mass_g: int, known: "Belief") -> tuple[Rung, ...]:
    """Every load of the kit at the pulls as believed, lightest first; bodyweight is always one."""
    loads = {((), 0), *_loads(kit, mass_g)}
    pulls = {bands: mass_g - known.system_g(0, bands) for bands in {one for one, _ in loads}}
    rungs = [Rung(added_g, bands, mass_g + added_g - pulls[bands]) for bands, added_g in loads]
    return tuple(
        sorted((one for one in rungs if one.system_g > 0), key=lambda one: (one.system_g, one.bands, one.added_g))
    )


@lru_cache(maxsize=256)
def _loads(kit: Kit, mass_g: int) -> tuple[tuple[tuple[str, ...], int], ...]:
    from core.change_over import sides
    from core.loading import hangable

    if kit.anchor is not None and kit.anchor.max_load_g < mass_g:
        return ()
    helps = [side.bands for side in sides(kit) if len(set(side.bands)) == len(side.bands)]
    return tuple((bands, added_g) for bands in helps for added_g in hangable(kit, mass_g))


def band_readings(kit: Kit) -> "tuple[BandReading, ...]":
    """Each band's mean pull over the repetition as the kit knows it, with its doubt."""
    from core.bands import pulls_of
    from core.strength import BandReading

    return tuple(BandReading(one.label, one.mean_g, one.spread) for one in pulls_of(kit).values())


def aim_order(orders: tuple[Order, ...]) -> Order | None:
    """The latest order that changes the aim."""
    aims = [one for one in orders if one.kind is OrderKind.AIM]
    return max(aims, key=lambda one: one.day, default=None)
