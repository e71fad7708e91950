"""What the last sessions and weeks say, as plain facts."""

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta
from statistics import mean, median

from core.programmes.situation import Situation
from core.training import PrescribedSet, Session, Set

LIGHT_WEEK = 0.65  # of the usual repetitions: a week of rest, planned or not


@dataclass(frozen=True, slots=True)
class Week:
    """One calendar week (Monday first): working sets and repetitions of the main exercise."""

    monday: date
    sets: int = 0
    reps: int = 0


@dataclass(frozen=True, slots=True)
class Worked:
    """A session with working sets of the main exercise. Masses are system masses in grams.

    `tried_g`: the heaviest load, whether or not a repetition came of it; `base`: a set at the load that most of the
    sets had, the heaviest of equals (a heavy single may stand before it).
    """

    session: Session
    tried_g: int
    base: Set
    base_g: int
    sets: tuple[Set, ...]

    @property
    def missed(self) -> bool:
        """Whether a set ended in a failed repetition or short of what was asked; an open set may end where it will."""
        return any(self._short(place) for place in range(len(self.sets)))

    @property
    def base_missed(self) -> bool:
        """The same of the sets at the base load alone."""
        base = (self.base.added_g, self.base.bands)
        at_base = [place for place, one in enumerate(self.sets) if (one.added_g, one.bands) == base]
        return any(self._short(place) for place in at_base)

    def _short(self, place: int) -> bool:
        wishes = [one for one in self.session.prescribed if one.exercise == self.base.exercise]
        wish, done = (wishes[place] if place < len(wishes) else None), self.sets[place]
        if wish is None:
            return done.failed
        short = done.reps < wish.reps and _same_load(done, wish)
        return (short and done.failed) if wish.amrap else (short or done.failed)

    @property
    def effort(self) -> float | None:
        """The highest rating of the session."""
        ratings = [one.rpe for one in self.sets if one.rpe is not None]
        return max(ratings) if ratings else None


def _same_load(done: Set, wish: PrescribedSet) -> bool:
    return done.bands == wish.bands and done.added_g is not None and done.added_g <= wish.added_g


def worked(situation: Situation) -> tuple[Worked, ...]:
    """The sessions with at least one counted repetition or attempt of the main exercise, oldest first."""
    if "worked" not in situation.noted:
        situation.noted["worked"] = _worked(situation)
    return tuple(situation.noted["worked"])


def _worked(situation: Situation) -> tuple[Worked, ...]:
    found = []
    for session in situation.sessions:
        loads = situation.loads(session)
        pulled = [(done, system) for done, system in loads if done.reps > 0] or list(loads)
        if pulled and not session.skipped:
            tried_g = max(system for _, system in loads)
            often = Counter(system for _, system in pulled)
            base, base_g = max(pulled, key=lambda one: (often[one[1]], one[1]))
            found.append(Worked(session, tried_g, base, base_g, tuple(done for done, _ in loads)))
    return tuple(found)


def monday_of(day: date) -> date:
    return day - timedelta(days=day.weekday())


def weeks(situation: Situation, most: int = 10) -> tuple[Week, ...]:
    """The calendar weeks before this one, oldest first, from the first trained one on; empty ones included."""
    this = monday_of(situation.day)
    totals: dict[date, Week] = {}
    for one in worked(situation):
        monday = monday_of(one.session.day)
        before = totals.get(monday, Week(monday))
        totals[monday] = Week(monday, before.sets + len(one.sets), before.reps + sum(done.reps for done in one.sets))
    mondays = [this - timedelta(weeks=back) for back in range(most, 0, -1)]
    started = [monday for monday in mondays if any(trained <= monday for trained in totals)]
    return tuple(totals.get(monday, Week(monday)) for monday in started)


def sets_this_week(situation: Situation) -> int:
    this = monday_of(situation.day)
    return sum(len(one.sets) for one in worked(situation) if monday_of(one.session.day) == this)


def weeks_of_work(situation: Situation) -> int:
    """Trained weeks since the last light one: less than two thirds of the usual repetitions, or none."""
    past = weeks(situation)
    run = 0
    for place, week in enumerate(past):
        usual = [one.reps for one in past[max(0, place - 4) : place] if one.reps]
        light = week.reps == 0 or (bool(usual) and week.reps < LIGHT_WEEK * median(usual))
        run = 0 if light else run + 1
    return run


def effort_rises(recent: tuple[Worked, ...]) -> bool:
    """Whether the last three sessions were rated at least half a point over the three before, or missed twice."""
    last, before = recent[-3:], recent[-6:-3]
    if sum(one.missed for one in last) >= 2:
        return True
    now = [one.effort for one in last if one.effort is not None]
    then = [one.effort for one in before if one.effort is not None]
    return bool(now) and bool(then) and mean(now) >= mean(then) + 0.5
