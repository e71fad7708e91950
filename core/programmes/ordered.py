"""A plan of the coach's or athlete's own: what it fixes stands, what it leaves open is filled in, limits bind."""

import math
from dataclasses import replace

from core.orders import Order, OrderKind
from core.phrases import Mass, Phrase, phrase
from core.programmes.caps import holds, rest_allowed
from core.programmes.history import worked
from core.programmes.own_sets import filled_in
from core.programmes.situation import Plan, Rung, Situation
from core.reasons import Reason, because, without_steps
from core.training import PrescribedSet

USUAL_REST_S = 180
UNLIKELY = 0.05  # chance of completing the sets under which somebody should be asked first
HELD = ("order_hold", "reps_missed", "set_failed")


def own_plan(orders: tuple[Order, ...]) -> Order | None:
    """The coach's or athlete's own sets in force: the latest given, one of a single day before a standing one."""
    own = [one for one in reversed(orders) if one.kind is OrderKind.SET]  # of equals `max` takes the first: the newest
    return max(own, key=lambda one: (one.until is not None, one.day), default=None)


def as_ordered(situation: Situation, plan: Plan, order: Order) -> Plan:
    """The order's sets, repetitions, effort and load; what it leaves open is filled in by the engine.

    The step that the engine had chosen is no reason any more; what was cut to limits is named.
    """
    count = _count(situation, plan, order)
    reasons = (*without_steps(plan.reasons), because("order_set", 1, by=phrase(f"by.{order.by}")))
    if count < (order.sets or 0):
        reasons = (*reasons, because("order_sets_cut", 2, asked=order.sets or 0, n=count))
    if count == 0:
        return replace(plan, sets=(), reasons=reasons)
    if order.added_g is not None or order.bands is not None:
        return _at_load(situation, replace(plan, reasons=reasons), order, count)
    if order.reps is None:
        sets = tuple(_with(one, order) for one in _stretched(plan.sets, count))
    else:
        rest_s = plan.sets[0].rest_s if plan.sets else rest_allowed(situation, USUAL_REST_S)
        wish = PrescribedSet(order.reps, 0, (), rest_s, order.rpe, False, situation.exercise)
        sets = filled_in(situation, (wish,) * count)
    return replace(plan, sets=sets, reasons=reasons)


def _count(situation: Situation, plan: Plan, order: Order) -> int:
    count = len(plan.sets) if order.sets is None else order.sets
    limit = situation.athlete.limits.sets
    count = count if limit is None else min(count, limit)
    return max(math.ceil((count - situation.verdict.fewer_sets) * situation.verdict.sets), min(count, 1))


def _at_load(situation: Situation, plan: Plan, order: Order, count: int) -> Plan:
    """The ordered load as near as kit, cap and a newer hold allow; an implausible one is for a person to look at."""
    rung = _nearest(situation, order)
    rest_s = plan.sets[0].rest_s if plan.sets else rest_allowed(situation, USUAL_REST_S)
    reps = order.reps if order.reps is not None else plan.sets[0].reps if plan.sets else 1
    one = PrescribedSet(reps, rung.added_g, rung.bands, rest_s, order.rpe, False, situation.exercise)
    sets = (one,) * count
    binding = HELD[:1] if holds(situation) else ()  # a load of one's own is not the engine's to hold
    reasons: tuple[Reason, ...] = tuple(one for one in plan.reasons if one.code not in HELD or one.code in binding)
    cut = order.added_g is not None and rung.added_g != order.added_g
    if cut:
        load = {"asked": Mass(order.added_g or 0), "load": Mass(rung.added_g)}
        reasons = (*reasons, because("order_load_cut", 2, **load))
    doubts = _doubts(situation, order, sets)
    return Plan(sets, reasons, plan.cautions + doubts, plan.tell_coach or bool(doubts))


def _doubts(situation: Situation, order: Order, sets: tuple[PrescribedSet, ...]) -> tuple[Phrase, ...]:
    """A load that the kit cannot make, and sets that will hardly be completed."""
    said = []
    most = max(one.added_g for one in situation.rungs)
    if order.added_g is not None and order.added_g > most:
        said.append(phrase("caution.order_over_kit", asked=Mass(order.added_g), load=Mass(most)))
    chance = situation.belief.chance(sets)
    if chance < UNLIKELY:
        said.append(phrase("caution.order_unlikely", percent=round(100 * chance)))
    return tuple(said)


def _nearest(situation: Situation, order: Order) -> Rung:
    """The rung of the kit nearest to the ordered load, the lighter of two equals; not over a cap or a newer hold."""
    bands = order.bands if order.bands is not None else ()
    added_g = order.added_g if order.added_g is not None else 0
    same = [one for one in situation.rungs if one.bands == bands] or list(situation.rungs)
    allowed = [one for one in same if _within(situation, one)] or same[:1]
    return min(allowed, key=lambda one: (abs(one.added_g - added_g), one.added_g))


def _within(situation: Situation, rung: Rung) -> bool:
    caps = [one.added_g for one in situation.orders if one.kind is OrderKind.CAP and one.added_g is not None]
    past = worked(situation)
    if past and holds(situation) and rung.system_g > past[-1].tried_g:
        return False
    return all(rung.added_g <= most for most in caps)


def _stretched(sets: tuple[PrescribedSet, ...], count: int) -> tuple[PrescribedSet, ...]:
    """As many sets as ordered: the last closed one again, or the first ones only."""
    if not sets:
        return ()
    closed = replace(sets[0], amrap=False)
    return (*sets[:-1], *(closed,) * (count - len(sets)), sets[-1]) if count > len(sets) else sets[:count]


def _with(one: PrescribedSet, order: Order) -> PrescribedSet:
    return one if order.rpe is None or one.amrap else replace(one, rpe=order.rpe)
