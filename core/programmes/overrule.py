"""What binds a finished plan: the coach's own sets and loads, and the minutes there are."""

from dataclasses import replace

from core.programmes.caps import open_allowed
from core.programmes.history import Worked, worked
from core.programmes.situation import Plan, Situation
from core.reasons import because
from core.training import PrescribedSet

REP_S = 4  # a repetition, down and up
SETTING_UP_S = 20  # stepping on, hooking the belt


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
