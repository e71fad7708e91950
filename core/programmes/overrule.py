"""What binds a finished plan: the coach's own sets and loads, and the minutes there are."""

import math
from dataclasses import replace

from core.phrases import phrase
from core.programmes.caps import open_allowed, rest_allowed
from core.programmes.history import Worked, worked
from core.programmes.own_sets import filled_in
from core.programmes.situation import Plan, Rung, Situation
from core.reasons import because
from core.training import Order, OrderKind, PrescribedSet

REP_S = 4  # a repetition, down and up
USUAL_REST_S = 180
SETTING_UP_S = 20  # stepping on, hooking the belt


def own_plan(orders: tuple[Order, ...]) -> Order | None:
    """The coach's or athlete's own sets in force: the latest given, one of a single day before a standing one."""
    own = [one for one in orders if one.kind is OrderKind.SET]
    return max(own, key=lambda one: (one.until is not None, one.day), default=None)


def as_ordered(situation: Situation, plan: Plan, order: Order) -> Plan:
    """The order's sets, repetitions, effort and load; what it leaves open is filled in by the engine."""
    reason = because("order_set", 1, by=phrase(f"by.{order.by}"))
    count = len(plan.sets) if order.sets is None else order.sets
    limit = situation.athlete.limits.sets
    count = count if limit is None else min(count, limit)
    count = max(math.ceil((count - situation.verdict.fewer_sets) * situation.verdict.sets), min(count, 1))
    if count == 0:
        return replace(plan, sets=()).because(reason)
    if order.added_g is not None or order.bands is not None:
        return replace(plan, sets=_at_load(situation, plan, order, count)).because(reason)
    if order.reps is None:
        sets = tuple(_with(one, order) for one in _stretched(plan.sets, count))
    else:
        rest_s = plan.sets[0].rest_s if plan.sets else rest_allowed(situation, USUAL_REST_S)
        wish = PrescribedSet(order.reps, 0, (), rest_s, order.rpe, False, situation.exercise)
        sets = filled_in(situation, (wish,) * count)
    return replace(plan, sets=sets).because(reason)


def _at_load(situation: Situation, plan: Plan, order: Order, count: int) -> tuple[PrescribedSet, ...]:
    rung = _nearest(situation, order)
    rest_s = plan.sets[0].rest_s if plan.sets else rest_allowed(situation, USUAL_REST_S)
    reps = order.reps if order.reps is not None else plan.sets[0].reps if plan.sets else 1
    one = PrescribedSet(reps, rung.added_g, rung.bands, rest_s, order.rpe, False, situation.exercise)
    return (one,) * count


def _nearest(situation: Situation, order: Order) -> Rung:
    """The rung of the kit nearest to the ordered load, the lighter of two equals."""
    bands = order.bands if order.bands is not None else ()
    added_g = order.added_g if order.added_g is not None else 0
    same = [one for one in situation.rungs if one.bands == bands]
    return min(same or situation.rungs, key=lambda one: (abs(one.added_g - added_g), one.added_g))


def _stretched(sets: tuple[PrescribedSet, ...], count: int) -> tuple[PrescribedSet, ...]:
    """As many sets as ordered: the last closed one again, or the first ones only."""
    if not sets:
        return ()
    closed = replace(sets[0], amrap=False)
    return (*sets[:-1], *(closed,) * (count - len(sets)), sets[-1]) if count > len(sets) else sets[:count]


def _with(one: PrescribedSet, order: Order) -> PrescribedSet:
    return one if order.rpe is None or one.amrap else replace(one, rpe=order.rpe)


def seconds(sets: tuple[PrescribedSet, ...]) -> int:
    """How long the sets take, without the rest after the last."""
    work = sum(SETTING_UP_S + (one.seconds or REP_S * one.reps) for one in sets)
    return work + sum(one.rest_s for one in sets[:-1])


def within_minutes(
    situation: Situation, plan: Plan, warm: tuple[PrescribedSet, ...]
) -> tuple[Plan, tuple[PrescribedSet, ...]]:
    """Shortened to the athlete's minutes: the last sets go first, then the warm-up's, never the first set.

    One good set a session still helps (Androulakis-Korakakis et al. 2020).
    """
    minutes = situation.athlete.limits.minutes
    if minutes is None or seconds(warm + plan.sets) <= 60 * minutes:
        return plan, warm
    sets = plan.sets
    while len(sets) > 1 and seconds(warm + sets) > 60 * minutes:
        sets = sets[:-1]
    while warm and seconds(warm + sets) > 60 * minutes:
        warm = warm[1:]
    if seconds(sets) > 60 * minutes:
        return replace(plan, sets=()).because(because("no_time", 0, minutes=minutes)), ()
    short = because("short_of_time", 2, minutes=minutes)
    return replace(plan, sets=sets).because(short), warm


def spared(situation: Situation, plan: Plan) -> Plan:
    """In pain, whoever wrote the plan: no heavier than last time, a set fewer, no more repetitions in all."""
    past = worked(situation)
    pulled = [one for one in plan.sets if one.exercise is situation.exercise]
    if not situation.verdict.gentle_grip or not past or len(pulled) < len(plan.sets):
        return plan
    last = past[-1]
    sets = tuple(_no_heavier(situation, one, last) for one in pulled[: max(1, len(last.sets) - 1)])
    most = max(1, sum(one.reps for one in last.sets))
    while sum(one.reps for one in sets) > max(most, len(sets)):
        top = max(one.reps for one in sets)
        place = max(at for at, one in enumerate(sets) if one.reps == top)
        sets = (*sets[:place], replace(sets[place], reps=top - 1), *sets[place + 1 :])
    return replace(plan, sets=sets[:most])


def _no_heavier(situation: Situation, one: PrescribedSet, last: Worked) -> PrescribedSet:
    system = situation.system_g(one.added_g, one.bands)
    if system is None or system <= last.tried_g:
        return one
    return replace(one, added_g=last.base.added_g or 0, bands=last.base.bands or ())


def closed_where_needed(situation: Situation, plan: Plan) -> Plan:
    """No open set where limits or safety rule it out."""
    if open_allowed(situation):
        return plan
    return replace(plan, sets=tuple(replace(one, amrap=False) for one in plan.sets))
