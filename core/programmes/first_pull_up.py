"""The first pull-up: with a band as soon as one helps enough, singles without it as soon as they are likely.

Below the widest band, or without one: hangs, scapular pulls, a few slow lowerings, rows.
"""

from dataclasses import replace

from core.programmes.below_bands import below_bands
from core.programmes.caps import LARGEST_STEP, USUAL_STEP, single_ceiling
from core.programmes.fit import Wish, fit, heaviest
from core.programmes.history import worked
from core.programmes.ladder import steps_over
from core.programmes.situation import Plan, Rung, Situation
from core.reasons import because
from core.training import PrescribedSet

WISH = Wish(sets=5, low=2, high=8, rest_s=180, each=0.96)
SINGLE = 0.8  # chance of a heavy single
FREE = 0.35  # of the free one, which is worth a failed attempt
UNFAMILIAR = (1 + USUAL_STEP) / (1 + LARGEST_STEP)
CLOSE = 0.93  # 1RM over body mass from which heavy singles lead the way
SURE_SINGLE = 0.95  # for a while after a failed one
WARY_DAYS, WARY_FREE_DAYS = 14, 7
LEAST = 0.6  # chance of three repetitions on the easiest rung, under which there is no pulling yet


def first_pull_up(situation: Situation) -> Plan:
    """Hangs and rows while nothing is light enough; else sets with help, and before them a heavy single."""
    if not _pulls(situation):
        return below_bands(situation)
    plan = fit(situation, WISH)
    if len(plan.sets) < 2 or not worked(situation) or not plan.sets[0].bands:
        return plan
    rung = _single(situation, plan)
    if rung is None:
        return plan
    single = PrescribedSet(1, rung.added_g, rung.bands, plan.sets[0].rest_s, 9.0, False, situation.exercise)
    sets = (single, *plan.sets[1:])
    percent = round(100 * situation.belief.chance((single,)))
    code = "heavy_single" if rung.bands else "free_single"
    return replace(plan, sets=sets).because(because(code, 2, percent=percent))


def _single(situation: Situation, plan: Plan) -> Rung | None:
    """The heaviest single up to one's own weight that is likely enough and no larger a step than any other.

    The free one itself is tried sooner, once a week until it goes; where the kit has no finer step below one's own
    weight, likelihood alone decides on it.
    """
    most_g = single_ceiling(situation)
    if most_g is None or situation.one_rm_g < CLOSE * situation.mass_g:
        return None
    own = _no_more_help(situation, plan.sets[0].bands)
    near, free, rest_s = _near(situation, own, most_g), own[-1], plan.sets[0].rest_s
    if free in near or not _finer(situation, free):
        single = PrescribedSet(1, free.added_g, free.bands, rest_s, None, False, situation.exercise)
        if situation.belief.chance((single,)) >= _wanted(situation, free=True):
            return free
    base_g = situation.system_g(plan.sets[0].added_g, plan.sets[0].bands) or 0
    found = heaviest(situation, near or own[:1], rest_s, 1, _wanted(situation, free=False))
    return found if base_g * 1.02 < found.system_g < free.system_g else None


def _finer(situation: Situation, free: Rung) -> bool:
    """Whether the kit has a step towards the free one, so that nobody need jump there."""
    last_g = worked(situation)[-1].tried_g
    return bool(steps_over(situation.rungs, last_g)) and free.system_g > last_g


def _near(situation: Situation, rungs: list[Rung], most_g: int) -> list[Rung]:
    """Within the step; on a band that last time had no part in, half the step, for its pull is less well known."""
    used = {one.bands for one in worked(situation)[-1].sets}
    return [
        one for one in rungs if one.system_g <= (most_g if one.bands in used or not one.bands else most_g * UNFAMILIAR)
    ]


def _no_more_help(situation: Situation, bands: tuple[str, ...]) -> list[Rung]:
    """Up to the free one: the rungs of no stronger help than the working sets have, the heaviest last."""
    most = situation.pull_of[bands]
    return [
        one
        for one in situation.rungs
        if one.system_g <= situation.mass_g
        and (one.added_g == 0 or one.bands)
        and situation.pull_of[one.bands] <= most
        and (len(one.bands) < 2 or one.bands == bands)
    ]


def _wanted(situation: Situation, free: bool) -> float:
    """The chance from which a single is tried: surer for a while after one has failed."""
    days = WARY_FREE_DAYS if free else WARY_DAYS
    lately = [one for one in worked(situation) if (situation.day - one.session.day).days < days]
    singles = [one.sets[0] for one in lately if one.sets[0].reps <= 1]
    failed = any(one.failed or one.reps == 0 for one in singles)
    return SURE_SINGLE if failed else FREE if free else SINGLE


def _pulls(situation: Situation) -> bool:
    """Whether the easiest rung of the kit is likely enough; without bands, whether a free one has been done."""
    easiest = situation.rungs[0]
    if not easiest.bands:
        return any(one.base.reps > 0 for one in worked(situation))
    three = PrescribedSet(3, easiest.added_g, easiest.bands, 180, None, False, situation.exercise)
    return situation.belief.chance((three,)) >= LEAST
