"""The first pull-up: with a band as soon as one helps enough, singles without it as soon as they are likely.

Below the widest band, or without one: hangs, scapular pulls, a few slow lowerings, rows.
"""

from dataclasses import replace

from core.programmes.caps import rest_allowed, sets_allowed
from core.programmes.fit import Wish, fit
from core.programmes.situation import Plan, Rung, Situation
from core.reasons import because
from core.training import Exercise, PrescribedSet, Session

WISH = Wish(sets=5, low=4, high=8, rest_s=180)
SINGLE = 0.85  # chance from which a single without a band is worth the attempt
LEAST = 0.6  # chance of three repetitions on the easiest rung, under which there is no pulling yet


def first_pull_up(situation: Situation) -> Plan:
    """Three grounds: not yet pulling, pulling with help, and free repetitions."""
    free = _free(situation)
    if not _pulls(situation):
        return _below(situation)
    plan = fit(situation, WISH)
    if not plan.sets or free is None or not plan.sets[0].bands:
        return plan
    chance = situation.belief.chance((_single(situation, free, plan.sets[0].rest_s),))
    if chance < SINGLE or situation.verdict.light > 0:
        return plan
    single = _single(situation, free, plan.sets[0].rest_s)
    sets = (single, *plan.sets[1:]) if len(plan.sets) > 1 else (single,)
    return replace(plan, sets=sets).because(because("free_single", 2, percent=round(100 * chance)))


def _free(situation: Situation) -> Rung | None:
    return next((one for one in situation.rungs if not one.bands and one.added_g == 0), None)


def _single(situation: Situation, free: Rung, rest_s: int) -> PrescribedSet:
    return PrescribedSet(1, free.added_g, (), rest_s, 9.0, False, situation.exercise)


def _pulls(situation: Situation) -> bool:
    """Whether the easiest rung of the kit is light enough for a few repetitions, or one has been done."""
    easiest = situation.rungs[0]
    wanted = 1 if not easiest.bands else 3
    one = PrescribedSet(wanted, easiest.added_g, easiest.bands, 180, None, False, situation.exercise)
    return situation.belief.chance((one,)) >= LEAST


def _below(situation: Situation) -> Plan:
    """Hangs that grow longer, scapular pulls, few negatives, rows."""
    count, reasons = sets_allowed(situation, 5)
    if count == 0:
        return Plan((), reasons)
    rest_s = rest_allowed(situation, 120)
    seconds = _next_seconds(situation.sessions)
    parts = [
        PrescribedSet(1, 0, (), rest_s, 7.0, False, Exercise.HANG, seconds),
        PrescribedSet(6, 0, (), rest_s, 7.0, False, Exercise.SCAPULAR_PULL),
        PrescribedSet(8, 0, (), rest_s, 8.0, False, Exercise.ROW),
    ]
    if situation.verdict.maximal:
        parts.insert(2, PrescribedSet(1, 0, (), rest_s, 8.0, False, Exercise.NEGATIVE, 5))
    ordered = [parts[turn % len(parts)] for turn in range(count)]
    return Plan(tuple(sorted(ordered, key=parts.index)), (*reasons, because("below_bands", 2)))


def _next_seconds(sessions: tuple[Session, ...]) -> int:
    """Five seconds longer than the last hangs, from ten to forty."""
    held = [one.seconds or 0 for session in sessions[-4:] for one in session.sets if one.exercise is Exercise.HANG]
    return min(max(held, default=5) + 5, 40)
