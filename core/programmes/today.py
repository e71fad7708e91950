"""A session that is half done: what is left of it, in the light of the sets so far."""

import math
from dataclasses import replace

from core.programmes.overrule import closed_where_needed
from core.programmes.situation import Plan, Situation
from core.reasons import because
from core.safety import Light
from core.training import PrescribedSet, Session

STILL_LIKELY = 0.8  # chance of the rest, under which repetitions are taken off


def rest_of_today(situation: Situation, plan: Plan, todays: tuple[Session, ...]) -> Plan:
    """The prescribed sets not yet done (without a prescription: those of `plan`), lighter if they ran dry."""
    asked = tuple(one for session in todays for one in session.prescribed) or plan.sets
    done = tuple(one for session in todays for one in session.sets)
    left = asked[len(done) :]
    known = situation.belief.during(done, asked[: len(done)])
    scene = replace(situation, belief=known)
    short = any(one.failed for one in done) or any(got.reps < wish.reps for got, wish in zip(done, asked, strict=False))
    rest = Plan(_within_limits(situation, left, len(done)), plan.reasons, plan.cautions)
    rest = rest.because(because("rest_of_today", 2, n=len(rest.sets)))
    if situation.verdict.light >= Light.HOLD:
        verdict = situation.verdict
        kept = math.floor(max(len(asked) - verdict.fewer_sets, 0) * verdict.sets)
        rest = replace(rest, sets=rest.sets[: max(kept - len(done), 0)])
    if short or situation.verdict.light >= Light.HOLD:
        rest = _eased(scene, rest)
    return closed_where_needed(situation, rest)


def _within_limits(situation: Situation, left: tuple[PrescribedSet, ...], done: int) -> tuple[PrescribedSet, ...]:
    """A stored prescription, under limits that may have changed since."""
    limits = situation.athlete.limits
    if limits.sets is not None:
        left = left[: max(limits.sets - done, 0)]
    if limits.rest_s is None:
        return left
    longest = limits.rest_s
    return tuple(replace(one, rest_s=min(one.rest_s, longest)) for one in left)


def _eased(situation: Situation, rest: Plan) -> Plan:
    """Repetition by repetition less until the rest is likely, the load as it hangs."""
    if any(one.exercise is not situation.exercise for one in rest.sets):
        return rest
    sets = rest.sets
    while sets and situation.belief.chance(sets) < STILL_LIKELY and max(one.reps for one in sets) > 1:
        sets = tuple(replace(one, reps=max(1, one.reps - 1), amrap=False) for one in sets)
    return rest if sets == rest.sets else replace(rest, sets=sets).because(because("fewer_reps_left", 2))
