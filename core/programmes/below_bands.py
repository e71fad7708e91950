"""Too weak yet for the widest band, or without one: hangs, scapular pulls, few slow lowerings, rows, and a retest."""

import math
from dataclasses import replace
from datetime import date, timedelta

from core.programmes.caps import FIRST_SETS, open_allowed, rest_allowed
from core.programmes.history import monday_of, worked
from core.programmes.situation import Plan, Situation
from core.reasons import because
from core.safety import Light
from core.training import Exercise, PrescribedSet, Set

ATTEMPT_DAYS = 14
FLAT_WEEKS = 4
ROWS = (8, 15)  # repetitions, from and to
MEASURES = (Exercise.HANG, Exercise.NEGATIVE, Exercise.ROW)
MOST_SETS = 5
RECENT = 4  # sessions that a next one is measured by


def below_bands(situation: Situation) -> Plan:
    """Hangs that grow longer, scapular pulls, few slow lowerings, more and more rows; now and then an attempt."""
    count = _count(situation)
    if count == 0:
        return Plan((), (because("no_sets_allowed", 0),))
    rest_s = rest_allowed(situation, 120)
    parts = _parts(situation, rest_s)
    ordered = sorted((parts[turn % len(parts)] for turn in range(count)), key=parts.index)
    plan = Plan(tuple(ordered), (because("below_bands", 2),))
    if is_flat(situation):
        plan = replace(plan, tell_coach=True).because(because("below_bands_flat", 3, n=FLAT_WEEKS))
    if not _due(situation):
        return plan
    most_help = situation.rungs[0].bands
    attempt = PrescribedSet(1, 0, most_help, rest_s, 9.0, True, situation.exercise)
    code = "attempt_helped" if most_help else "attempt"
    return replace(plan, sets=(attempt, *plan.sets[1:])).because(because(code, 2))


def _count(situation: Situation) -> int:
    """Three sets, and week by week one more up to five; under the limit and safety.

    All exercises count here: an attempt now and then says nothing of how much somebody trains.
    """
    limit, verdict = situation.athlete.limits.sets, situation.verdict
    wished = MOST_SETS if limit is None else min(MOST_SETS, limit)
    if wished <= 0:
        return 0
    trained = [one for one in situation.sessions if one.sets]
    earlier = [len(one.sets) for one in trained if one.day < monday_of(situation.day)]
    most = min(wished, max(FIRST_SETS, max(earlier[-RECENT:], default=0) + 1 if earlier else 0))
    if trained and verdict.light >= Light.HOLD:
        most = min(most, len(trained[-1].sets))
    return max(1, math.ceil((most - verdict.fewer_sets) * verdict.sets))


def _parts(situation: Situation, rest_s: int) -> list[PrescribedSet]:
    parts = [
        PrescribedSet(1, 0, (), rest_s, 7.0, False, Exercise.HANG, _longer(situation, Exercise.HANG, 10, 40)),
        PrescribedSet(6, 0, (), rest_s, 7.0, False, Exercise.SCAPULAR_PULL),
        PrescribedSet(_rows(situation), 0, (), rest_s, 8.0, False, Exercise.ROW),
    ]
    if situation.verdict.maximal:
        seconds = _longer(situation, Exercise.NEGATIVE, 5, 10)
        parts.insert(2, PrescribedSet(1, 0, (), rest_s, 8.0, False, Exercise.NEGATIVE, seconds))
    return parts


def _due(situation: Situation) -> bool:
    """An attempt with the most help there is: in a first session, then every two weeks, where open sets are allowed."""
    if not open_allowed(situation) or situation.verdict.light > Light.GO:
        return False
    tried = [one.session.day for one in worked(situation)]
    return not tried or (situation.day - tried[-1]).days >= ATTEMPT_DAYS


def _longer(situation: Situation, exercise: Exercise, first: int, most: int) -> int:
    """Five seconds longer than the longest of the last sessions (one for slow lowerings), from `first` to `most`."""
    held = [one.seconds or 0 for one in _recent(situation, exercise)]
    step = 5 if exercise is Exercise.HANG else 1
    return max(1, min(max(held) + _rise(situation, step), most)) if held else first


def _rows(situation: Situation) -> int:
    """One more than the best of the last sessions, if no set of it failed."""
    first, most = ROWS
    done = _recent(situation, Exercise.ROW)
    if not done:
        return first
    step = 0 if any(one.failed for one in done) else _rise(situation, 1)
    return max(1, min(max(one.reps for one in done) + step, most))


def _rise(situation: Situation, step: int) -> int:
    return 0 if situation.verdict.light >= Light.HOLD else step


def _recent(situation: Situation, exercise: Exercise) -> list[Set]:
    return [one for session in situation.sessions[-RECENT:] for one in session.sets if one.exercise is exercise]


def is_flat(situation: Situation) -> bool:
    """Whether four weeks of work brought nothing: no attempt, hang, lowering or row better than before them."""
    since = situation.day - timedelta(weeks=FLAT_WEEKS)
    before, after = _best(situation, date.min, since), _best(situation, since, situation.day)
    known = [name for name in after if name in before]
    return bool(known) and all(after[name] <= before[name] for name in known)


def _best(situation: Situation, first: date, end: date) -> dict[Exercise, int]:
    """The best of each exercise from a day on up to before another: seconds where it has some, else repetitions."""
    best: dict[Exercise, int] = {}
    for session in situation.sessions:
        for one in session.sets if first <= session.day < end else ():
            if one.exercise in (*MEASURES, situation.exercise):
                best[one.exercise] = max(best.get(one.exercise, 0), one.seconds or one.reps)
    return best
