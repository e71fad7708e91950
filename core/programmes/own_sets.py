"""Sets that the coach wrote, with the load left to the engine."""

from dataclasses import replace

from core.programmes.caps import ceiling
from core.programmes.fit import LIKELY, Wish, within
from core.programmes.ladder import ladder
from core.programmes.situation import Rung, Situation
from core.training import PrescribedSet


def filled_in(situation: Situation, sets: tuple[PrescribedSet, ...]) -> tuple[PrescribedSet, ...]:
    """Somebody else's sets at the heaviest load, under every cap, that is likely and leaves the effort asked for."""
    limit = ceiling(situation)
    side = ladder(situation, limit.held)
    rungs = within(situation, Wish(len(sets), 1, 1, sets[0].rest_s), limit, side)
    low, high = 0, len(rungs)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if _suits(situation, _on(sets, rungs[middle])) else (low, middle)
    return _on(sets, rungs[low])


def _on(sets: tuple[PrescribedSet, ...], rung: Rung) -> tuple[PrescribedSet, ...]:
    return tuple(replace(one, added_g=rung.added_g, bands=rung.bands) for one in sets)


def _suits(situation: Situation, sets: tuple[PrescribedSet, ...]) -> bool:
    if situation.belief.chance(sets) < LIKELY:
        return False
    first = sets[0]
    possible = situation.belief.expected_reps(sets[:1])[0][0]
    return first.rpe is None or possible - first.reps >= 10 - first.rpe
