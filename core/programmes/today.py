"""A session that is half done: what is left of it, in the light of the sets so far."""

import math
from dataclasses import replace

from core.programmes.caps import USUAL_STEP, holds
from core.programmes.history import worked
from core.programmes.overrule import closed_where_needed
from core.programmes.situation import Plan, Rung, Situation
from core.reasons import because, without_steps
from core.safety import Light
from core.training import PrescribedSet, Session, Set

STILL_LIKELY = 0.8  # chance of the rest, under which repetitions are taken off
FAR_SHORT = 3  # fewer than one in so many of the repetitions asked for: the load itself was too much
EQUAL = 0.998  # of a system mass: the same load for all we know
Sets = tuple[PrescribedSet, ...]


def rest_of_today(situation: Situation, plan: Plan, todays: tuple[Session, ...]) -> Plan:
    """The prescribed sets not yet done (without a prescription: those of `plan`), lighter if they ran dry."""
    stored = tuple(one for session in todays for one in session.prescribed)
    asked = stored or plan.sets
    done = tuple(one for session in todays for one in session.sets)
    scene = replace(situation, belief=situation.belief.during(done, asked[: len(done)]))
    left = _under_hold(situation, _kept(situation, asked, len(done)), todays)
    lighter = _after_a_miss(situation, left, asked, done)
    missed = lighter != left
    short = any(one.failed for one in done) or any(got.reps < wish.reps for got, wish in zip(done, asked, strict=False))
    own = not stored and not short
    rest = replace(plan, sets=lighter, reasons=plan.reasons if own else without_steps(plan.reasons))
    rest = rest.because(because("rest_of_today", 2, n=len(rest.sets)))
    if missed:
        rest = rest.because(because("lighter_left", 2))
    if short or situation.verdict.light >= Light.HOLD:
        rest = _eased(scene, rest)
    return closed_where_needed(situation, rest)


def _kept(situation: Situation, asked: Sets, done: int) -> Sets:
    """The sets left over, without those that safety takes off."""
    left = _within_limits(situation, asked[done:], done)
    verdict = situation.verdict
    if verdict.light < Light.HOLD:
        return left
    kept = math.floor(max(len(asked) - verdict.fewer_sets, 0) * verdict.sets)
    return left[: max(kept - done, 0)]


def _within_limits(situation: Situation, left: Sets, done: int) -> Sets:
    """A stored prescription, under limits that may have changed since."""
    limits = situation.athlete.limits
    if limits.sets is not None:
        left = left[: max(limits.sets - done, 0)]
    if limits.rest_s is None:
        return left
    longest = limits.rest_s
    return tuple(replace(one, rest_s=min(one.rest_s, longest)) for one in left)


def _under_hold(situation: Situation, left: Sets, todays: tuple[Session, ...]) -> Sets:
    """What is held is no heavier than today's sets so far, nor than the last session's: it may be older than both."""
    if not holds(situation) and situation.verdict.light < Light.HOLD:
        return left
    so_far = [system for session in todays for _, system in situation.loads(session)]
    tops = [max(so_far)] if so_far else []
    tops += [one.tried_g for one in worked(situation)[-1:]]
    return _lowered(situation, left, min(tops)) if tops else left


def _after_a_miss(situation: Situation, left: Sets, asked: Sets, done: tuple[Set, ...]) -> Sets:
    """After a failed set one fewer, the last one lighter; after one far too short all of them a step lighter."""
    found = [place for place, one in enumerate(done) if _missed(one, asked[place] if place < len(asked) else None)]
    systems = [_system(situation, done[place]) for place in found]
    known = [one for one in systems if one is not None]
    if not known or not any(_heavy(situation, one, min(known)) for one in left):
        return left
    far = any(_far(done[place], asked[place]) for place in found if place < len(asked))
    kept = left[: max(len(asked) - 1 - len(done), 0)]
    if kept and not far:
        return kept
    if not far and found[-1] < len(done) - 1:
        return ()
    lower = _lowered(situation, left, int(min(known) * (1 - USUAL_STEP)))
    return kept if any(_heavy(situation, one, min(known)) for one in lower) else lower


def _missed(one: Set, wish: PrescribedSet | None) -> bool:
    if wish is None:
        return one.failed
    return (one.failed and not (wish.amrap and one.reps >= wish.reps)) or _far(one, wish)


def _far(one: Set, wish: PrescribedSet) -> bool:
    return one.exercise is wish.exercise and one.reps * FAR_SHORT < wish.reps


def _system(situation: Situation, one: Set) -> int | None:
    unknown = one.added_g is None or one.bands is None
    return None if unknown else situation.system_g(one.added_g or 0, one.bands or ())


def _heavy(situation: Situation, one: PrescribedSet, limit_g: int) -> bool:
    system = situation.system_g(one.added_g, one.bands)
    return one.exercise is situation.exercise and (system is None or system > limit_g * EQUAL)


def _lowered(situation: Situation, sets: Sets, limit_g: int) -> Sets:
    """The sets with none over the limit; as they are where the kit has nothing lighter."""
    return tuple(_lower(situation, one, limit_g) for one in sets)


def _lower(situation: Situation, one: PrescribedSet, limit_g: int) -> PrescribedSet:
    if one.exercise is not situation.exercise or (situation.system_g(one.added_g, one.bands) or 0) <= limit_g:
        return one
    rung = below(situation, one.bands, limit_g)
    return one if rung is None else replace(one, added_g=rung.added_g, bands=rung.bands)


def below(situation: Situation, bands: tuple[str, ...], limit_g: int) -> Rung | None:
    """The heaviest load up to the limit with the same bands, else with more help and nothing on the belt."""
    light = [one for one in situation.rungs if one.system_g <= limit_g]
    same = [one for one in light if one.bands == bands]
    found = same or [one for one in light if one.added_g == 0 and one.bands]
    return found[-1] if found else None


def _eased(situation: Situation, rest: Plan) -> Plan:
    """Repetition by repetition less until the rest is likely, the load as it hangs."""
    if any(one.exercise is not situation.exercise for one in rest.sets):
        return rest
    sets = rest.sets
    while sets and situation.belief.chance(sets) < STILL_LIKELY and max(one.reps for one in sets) > 1:
        sets = tuple(replace(one, reps=max(1, one.reps - 1), amrap=False) for one in sets)
    return rest if sets == rest.sets else replace(rest, sets=sets).because(because("fewer_reps_left", 2))
