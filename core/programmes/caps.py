"""How heavy a session may be at most, and how many sets it may have."""

import math
from dataclasses import dataclass
from datetime import timedelta

from core.orders import Order, OrderKind
from core.phrases import Mass, phrase
from core.programmes.history import Week, Worked, monday_of, sets_this_week, weeks, worked
from core.programmes.situation import Situation
from core.reasons import Reason, because
from core.safety import Light
from core.training import Weekday

USUAL_STEP = 0.025  # of system mass, from one session to the next
LARGEST_STEP = 0.05  # where the estimate is sure of it, and never more
AFTER_MISS = 0.97  # of the load that a single failed at
WEEKLY_RISE = 0.2
AFTER_REST = 0.6  # of the busiest week before four weeks off
FIRST_SETS = 3  # in a first session


@dataclass(frozen=True, slots=True)
class Ceiling:
    """The highest system mass of a session in grams, None where there is nothing to measure a step against.

    `sure_g`: the limit where the estimate is sure; `added_g`: the limit of an order on the belt; `base_g`: the last
    load where safety holds it.
    """

    usual_g: int | None = None
    sure_g: int | None = None
    added_g: int | None = None
    held: bool = False
    reasons: tuple[Reason, ...] = ()
    base_g: int | None = None


def ceiling(situation: Situation) -> Ceiling:
    """The limit on the load of the working sets, from the last ones, the verdict of safety and the orders."""
    past = worked(situation)
    caps = [one for one in situation.orders if one.kind is OrderKind.CAP and one.added_g is not None]
    added_g = min((one.added_g for one in caps if one.added_g is not None), default=None)
    reasons = tuple(because("order_cap", 1, by=phrase(f"by.{one.by}"), load=Mass(one.added_g or 0)) for one in caps)
    if not past:
        return Ceiling(added_g=added_g, reasons=reasons)
    last = past[-1]
    holding, why = _held(situation, last)
    before_g = last.base_g
    if holding:
        share = 1.0 if situation.verdict.load is None else situation.verdict.load
        most_g, sore_g = int(before_g * share), before_g if situation.verdict.light >= Light.HOLD else None
        return Ceiling(most_g, most_g, added_g, True, reasons + why, sore_g)
    sure = USUAL_STEP if situation.verdict.young else LARGEST_STEP
    usual_g, sure_g = (int(before_g * (1 + step)) for step in (USUAL_STEP, sure))
    return Ceiling(usual_g, sure_g, added_g, False, reasons)


def single_ceiling(situation: Situation) -> int | None:
    """The highest system mass of a heavy single before the working sets; None where none may be.

    A step over the heaviest load of the last session; under it where that was missed.
    """
    past = worked(situation)
    held = any(one.kind in (OrderKind.HOLD, OrderKind.CAP) for one in situation.orders)
    if not past or held or situation.verdict.light >= Light.HOLD or not situation.verdict.maximal:
        return None
    last = past[-1]
    if last.base_missed:
        return None
    return int(last.tried_g * (AFTER_MISS if last.missed else 1 + LARGEST_STEP))


def holds(situation: Situation) -> tuple[Order, ...]:
    """The orders that hold the load: one older than somebody's own load has been overtaken by it."""
    own = [one.day for one in situation.orders if one.kind is OrderKind.SET and one.added_g is not None]
    latest = max(own, default=None)
    held = [one for one in situation.orders if one.kind is OrderKind.HOLD]
    return tuple(one for one in held if latest is None or one.day > latest)


def _held(situation: Situation, last: Worked) -> tuple[bool, tuple[Reason, ...]]:
    """Whether the load may not rise, and why; safety says its own reasons."""
    why: list[Reason] = []
    for one in holds(situation):
        why.append(because("order_hold", 1, by=phrase(f"by.{one.by}")))
    if last.missed:
        why.append(_missed(last))
    return bool(why) or situation.verdict.light >= Light.HOLD, tuple(why)


def _missed(last: Worked) -> Reason:
    asked = [one for one in last.session.prescribed if one.exercise is last.base.exercise]
    pairs = [
        (done.reps, wish.reps)
        for done, wish in zip(last.sets, asked, strict=False)
        if done.reps < wish.reps and not wish.amrap
    ]
    if not pairs:
        return because("set_failed", 2)
    return because("reps_missed", 2, reps=pairs[-1][0], asked=pairs[-1][1])


def sets_allowed(situation: Situation, wished: int) -> tuple[int, tuple[Reason, ...]]:
    """Working sets of the session: the wish, under the athlete's limit, the week's rise and safety."""
    limit = situation.athlete.limits.sets
    most = wished if limit is None else min(wished, limit)
    if most <= 0:
        return 0, (because("no_sets_allowed", 0),)
    week = _weekly(situation, most)
    verdict = situation.verdict
    if verdict.sets < 1:
        return max(1, math.ceil((min((most, *_usual(situation))) - verdict.fewer_sets) * verdict.sets)), ()
    if verdict.fewer_sets:
        return max(1, min((most, week, *_usual(situation))) - verdict.fewer_sets), ()
    allowed = max(1, min(most, week))
    rises = week < most and bool(worked(situation))  # a first session is short for a reason of its own
    return allowed, (because("week_rises_slowly", 4, n=allowed),) if rises else ()


def _usual(situation: Situation) -> tuple[int, ...]:
    """The sets of the last session, where safety takes some off."""
    past = worked(situation)
    return (len(past[-1].sets),) if past else ()


def _weekly(situation: Situation, most: int) -> int:
    """Sets for today so that the week has at most a fifth more than the busiest of the last four."""
    past = weeks(situation)
    if not worked(situation):
        return min(most, FIRST_SETS)
    if not past:
        return min(most, max(FIRST_SETS, _last_sets(situation)))
    full = [_as_full(situation, week, first=place == 0) for place, week in enumerate(past)]
    base = max(full[-4:]) or round(AFTER_REST * max(full)) or 1
    allowed = base + 1 if base < 1 / WEEKLY_RISE else int(base * (1 + WEEKLY_RISE) + 1e-9)
    left = max(allowed - sets_this_week(situation), 1)
    return max(1, -(-left // _sessions_left(situation)))


def _as_full(situation: Situation, week: Week, first: bool) -> int:
    """A week's sets; the first week of somebody who began in its middle counts as if begun on Monday."""
    if not first:
        return week.sets
    days = [one for one in worked(situation) if monday_of(one.session.day) == week.monday]
    average = week.sets / len(days) if days else 0
    return max(week.sets, round(average * len(situation.athlete.training_days)))


def _last_sets(situation: Situation) -> int:
    return len(worked(situation)[-1].sets)


def _sessions_left(situation: Situation) -> int:
    """Training days from today to Sunday, today included."""
    day, wished = situation.day, situation.athlete.training_days
    rest = [day + timedelta(days=ahead) for ahead in range(7 - day.weekday())]
    return max(1, sum(Weekday.of(one) in wished for one in rest))


def rest_allowed(situation: Situation, wished: int) -> int:
    limit = situation.athlete.limits.rest_s
    return wished if limit is None else min(wished, limit)


def open_allowed(situation: Situation) -> bool:
    """Whether an open set may be asked for: not against limits, safety, nor of the young."""
    limit = situation.athlete.limits.open_sets
    return situation.verdict.maximal and (limit is None or limit > 0)
