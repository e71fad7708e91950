"""The weeks around a session: lighter weeks, the taper before a test, the test itself.

Deload: 6.4 +- 1.7 days every 5.6 +- 2.3 weeks, fewer sets and repetitions (Rogerson et al. 2024, Sports Med
Open 10:26). Taper: two weeks, volume down by 41-60 %, load kept (Bosquet et al. 2007, MSSE 39:1358).
"""

from dataclasses import replace
from datetime import date

from core.orders import Order, OrderKind
from core.programmes.caps import open_allowed
from core.programmes.fit import LIKELY, Wish, effort, fit
from core.programmes.history import Worked, effort_rises, weeks_of_work, worked
from core.programmes.situation import Plan, Situation
from core.reasons import because
from core.training import PrescribedSet

DELOAD_AFTER = 6  # weeks of work, then one of rest
DELOAD_EARLY = 4  # where strength is flat and effort rises
TAPER_DAYS = 14
KEPT_SETS = 0.5  # of the sets in a deload or a taper
TEST = Wish(sets=1, low=3, high=6, rest_s=240, open_last=False)
FLAT = 0.0033  # gain a week in ln strength: less than we expect of anybody who trains


def test_day(orders: tuple[Order, ...], day: date) -> date | None:
    """The next test day ordered, on or after `day`."""
    days = [one.day for one in orders if one.kind is OrderKind.TEST and one.day >= day]
    return min(days, default=None)


def eased(situation: Situation, plan: Plan, test: date | None) -> Plan:
    """The plan as the weeks around it want it: tapered before a test, lighter in a week of rest."""
    if not plan.sets:
        return plan
    if test is not None and 0 < (test - situation.day).days <= TAPER_DAYS:
        return _lighter(situation, plan, 0).because(because("taper", 2, test=test))
    run = weeks_of_work(situation)
    if run >= DELOAD_AFTER:
        return _lighter(situation, plan, 1).because(because("deload", 2, n=run))
    if run >= DELOAD_EARLY and flat(situation) and effort_rises(worked(situation)):
        return _lighter(situation, plan, 1).because(because("deload_tired", 2, n=run))
    return plan


def flat(situation: Situation) -> bool:
    """Whether the estimate has stopped to rise."""
    return situation.belief.trend()[0] < FLAT


def _lighter(situation: Situation, plan: Plan, fewer_reps: int) -> Plan:
    """Half the sets, no open one, `fewer_reps` less each; at the load of the last session where it is likely."""
    count = max(1, round(len(plan.sets) * KEPT_SETS))
    kept = tuple(_closed(situation, one, fewer_reps) for one in plan.sets[:count])
    past = worked(situation)
    if past and plan.sets[0].exercise is situation.exercise:
        first, rest = _parted(plan, kept)
        kept = first + (_at_last_load(situation, rest, past[-1]) or rest)
    return replace(plan, sets=kept)


def _parted(plan: Plan, kept: tuple[PrescribedSet, ...]) -> tuple[tuple[PrescribedSet, ...], tuple[PrescribedSet, ...]]:
    """A heavy single before the working sets, which keeps its load, and these."""
    alone = len(kept) > 1 and (kept[0].added_g, kept[0].bands) != (plan.sets[-1].added_g, plan.sets[-1].bands)
    return (kept[:1], kept[1:]) if alone else ((), kept)


def _at_last_load(situation: Situation, sets: tuple[PrescribedSet, ...], last: Worked) -> tuple[PrescribedSet, ...]:
    """The same sets at the last load, repetition by repetition fewer until they are likely; none if they never are."""
    load = (last.base.added_g, last.base.bands)
    if load not in [(one.added_g, one.bands) for one in situation.rungs]:
        return ()
    same = tuple(replace(one, added_g=last.base.added_g or 0, bands=last.base.bands or ()) for one in sets)
    for less in range(max(one.reps for one in same)):
        fewer = tuple(replace(one, reps=max(1, one.reps - less)) for one in same)
        if situation.belief.chance(fewer) >= LIKELY:
            return tuple(_closed(situation, one, 0) for one in fewer)
    return ()


def _closed(situation: Situation, one: PrescribedSet, fewer_reps: int) -> PrescribedSet:
    reps = max(1, one.reps - fewer_reps)
    closed = replace(one, reps=reps, amrap=False)
    possible = situation.belief.expected_reps((closed,))[0][0]
    return replace(closed, rpe=effort(reps, possible, 8.0))


def test_session(situation: Situation) -> Plan:
    """One open set to the limit at the usual load: as telling as a heavy single, and no step over the cap.

    Where no open set is allowed, a short session of the usual kind.
    """
    plan = fit(situation, TEST)
    if not plan.sets:
        return plan
    first = plan.sets[0]
    if open_allowed(situation):
        first = replace(first, amrap=True, rpe=9.5)
    return replace(plan, sets=(first,)).because(because("test_day", 1))
