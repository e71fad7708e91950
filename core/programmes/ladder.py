"""Which rungs a session may choose from where bands help: one change at a time, and a way back.

With a stronger band plus a belt, one moves to the next lighter band without the belt once the belt weighs what
the two bands' means differ by (practice). Equal means are not equal ends, so the first session over there has a
repetition less. Without plates that make small steps, repetitions come first and then the next band.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from core.phrases import Phrase
from core.programmes.caps import LARGEST_STEP
from core.programmes.history import Worked, worked
from core.programmes.situation import Rung, Situation
from core.reasons import Reason, because

MARGIN = 0.02  # of system mass, more to try again after a way back
RECENT = 8  # sessions in which a way back is remembered
MANY_REPS = 8  # on every set before a jump that no finer step bridges
NEAR = 0.005  # of system mass: equal for all we know


@dataclass(frozen=True, slots=True)
class Ladder:
    """The rungs to choose from, lightest first. `new_side`: they are on another band than last time."""

    rungs: tuple[Rung, ...]
    easier: tuple[Rung, ...] = ()  # lighter ones with more help, should all of these be too heavy
    new_side: bool = False
    bridged: bool = True  # False: a jump between bands over the largest step
    reasons: tuple[Reason, ...] = ()
    cautions: tuple[Phrase, ...] = ()


def ladder(situation: Situation, held: bool) -> Ladder:
    """The rungs of today. `held`: nothing may rise, so no change to a lighter band either."""
    useful = _useful(situation.rungs)
    past = worked(situation)
    if not past:
        return Ladder(tuple(one for one in useful if one.added_g == 0))  # no belt in a first session
    last = past[-1]
    here = last.base.bands or ()
    same = tuple(one for one in useful if one.bands == here)
    if _must_go_back(situation, past):
        return _way_back(useful, past)
    if not same:
        return Ladder(useful)
    least = min(one.system_g for one in same)
    stay = Ladder(same, tuple(one for one in useful if one.system_g < least and one.bands != here))
    over = _lighter(useful, here) if here and not held else None
    if over is None:
        return stay
    margin = MARGIN if _came_back(past, here) else 0.0
    if last.base_g >= over.system_g * (1 - NEAR + margin):
        return _crossed(situation, useful, over, True)
    if not _jump(same, over, last):
        return stay
    others = steps_over(useful, last.base_g)
    if others:  # no jump while other bands and the belt make a step of it
        return replace(stay, rungs=tuple(one for one in useful if one in same or one in others))
    return _crossed(situation, useful, over, False)


def _crossed(situation: Situation, rungs: tuple[Rung, ...], over: Rung, bridged: bool) -> Ladder:
    """The first session over there: nothing on the belt, and today's side to fall back on."""
    there = tuple(one for one in rungs if one.bands == over.bands and one.added_g == 0)
    back = tuple(one for one in rungs if one.system_g < over.system_g)
    reason = because("change_over" if bridged else "change_over_jump", 2)
    return Ladder(there, back, True, bridged, (reason,), _feel(situation, worked(situation)[-1]))


def _feel(situation: Situation, last: Worked) -> tuple[Phrase, ...]:
    """Where the other side is harder and where easier."""
    from core.change_over import change_over

    change = change_over(situation.kit, last.base.bands or (), last.base.added_g or 0)
    return () if change is None else (change.phrase(),)


def announced(situation: Situation, rung: Rung) -> tuple[Reason, ...]:
    """That the next session changes over, if this one goes well."""
    over = _lighter(_useful(situation.rungs), rung.bands) if rung.bands else None
    if over is None or rung.system_g < over.system_g * (1 - NEAR):
        return ()
    return (because("change_over_next", 3),)


def _useful(rungs: tuple[Rung, ...]) -> tuple[Rung, ...]:
    """Without the loads of bands and belt that weigh more than one's own body without either."""
    free = next((one.system_g for one in rungs if not one.bands), None)
    if free is None:
        return rungs
    return tuple(one for one in rungs if not one.bands or one.system_g <= free)


def _lighter(rungs: tuple[Rung, ...], here: tuple[str, ...]) -> Rung | None:
    """The next lighter help with nothing on the belt; no help at all is the lightest."""
    plain = [one for one in rungs if one.added_g == 0]
    now = next((one.system_g for one in plain if one.bands == here), None)
    if now is None:
        return None
    return min((one for one in plain if one.system_g > now), key=lambda one: one.system_g, default=None)


def _jump(same: tuple[Rung, ...], over: Rung, last: Worked) -> bool:
    """No rung of this band between the last load and the largest step, and repetitions enough."""
    finer = bool(steps_over(same, last.base_g))
    counts = [one.reps for one in last.sets if (one.bands or ()) == last.base.bands]
    return not finer and not last.missed and min(counts, default=0) >= MANY_REPS and over.system_g > last.base_g


def _must_go_back(situation: Situation, past: tuple[Worked, ...]) -> bool:
    """The first session on a lighter band went short."""
    if len(past) < 2 or not past[-1].base_missed:
        return False
    before, now = (situation.pull_of.get(one.base.bands or (), 0) for one in past[-2:])
    return before > now


def in_reach(situation: Situation, wished: tuple[Rung, ...]) -> tuple[Rung, ...]:
    """The loads that an aim wishes for, and those that lead there from the last help in steps under the largest.

    The band of the last session with what hangs from the belt; where that has no such step, any help that has.
    """
    past = worked(situation)
    here = past[-1].base.bands if past else ()
    if not here:
        return wished
    last_g = past[-1].base_g
    near = [one for one in situation.rungs if one.system_g <= last_g * (1 + LARGEST_STEP)]
    same = [one for one in near if one.bands == here]
    finer = [] if steps_over(same, last_g) or steps_over(wished, last_g) else steps_over(near, last_g)
    chosen = {*wished, *same, *finer}
    return tuple(one for one in situation.rungs if one in chosen)


def steps_over(rungs: Iterable[Rung], last_g: int) -> list[Rung]:
    """Those up to the largest step over the last load."""
    return [one for one in rungs if last_g * (1 + NEAR) < one.system_g <= last_g * (1 + LARGEST_STEP)]


def _way_back(rungs: tuple[Rung, ...], past: tuple[Worked, ...]) -> Ladder:
    """The stronger band again, no heavier than it went before."""
    before = past[-2]
    back = tuple(one for one in rungs if one.bands == before.base.bands and one.added_g <= (before.base.added_g or 0))
    return Ladder(back or rungs, reasons=(because("change_back", 1),))


def _came_back(past: tuple[Worked, ...], here: tuple[str, ...]) -> bool:
    """Whether a lighter band was tried lately and left again."""
    bands = [one.base.bands or () for one in past[-RECENT:]]
    return any(
        first == here != second and third == here
        for first, second, third in zip(bands, bands[1:], bands[2:], strict=False)
    )
