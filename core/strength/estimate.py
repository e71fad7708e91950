"""The fold: a checkpoint and the sessions since it give the next one; from nothing the same as in parts."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from core.strength import days, readings, sets, update
from core.strength.curve import Floats, reps_at
from core.strength.fatigue import TOLL, USUAL_REST_S, Tired, kept
from core.strength.faults import session_fault, set_fault
from core.strength.priors import Mass, Profile, mass_on
from core.strength.state import (
    CURVE,
    ENGINE_VERSION,
    FORM,
    STRENGTH,
    TIRING,
    Checkpoint,
    State,
    prior_state,
    triangle,
)
from core.training import Exercise, PrescribedSet, Session, Set


@dataclass(frozen=True, slots=True)
class Course:
    """A session under way: the belief so far, the fatigue in the body, and what it is reckoned with."""

    state: State
    tired: Tired
    profile: Profile
    mass_g: int


def estimate(
    checkpoint: Checkpoint | None,
    sessions: Iterable[Session],
    profile: Profile,
    exercise: Exercise = Exercise.PULL_UP,
    today: date | None = None,
) -> Checkpoint:
    """Everything known after `sessions`, which follow those of `checkpoint` (its exercise then holds).

    Impossible items are left out; `faults` names them. For one profile, estimate(None, a + b) equals
    estimate(estimate(None, a), b), bit for bit.
    """
    now = blank(profile, exercise) if checkpoint is None else checkpoint
    for session in sessions:
        if not relevant(session, now.exercise) or session_fault(session, now.day, today) is not None:
            continue
        now = _with_session(now, session, profile)
    return now


def blank(profile: Profile, exercise: Exercise) -> Checkpoint:
    """What is believed before the first session."""
    mass = mass_on(profile, date.max)
    return _packed(prior_state(profile, exercise, mass.mass_g), exercise, None, 0, mass)


def outdated(checkpoint: Checkpoint, profile: Profile) -> bool:
    """Whether it must be dropped and its sessions replayed: of another engine, or made before the first weighing.

    Later weighings, and nothing else in a profile, leave a checkpoint as it is; a weighing or session of a day up to
    the checkpoint's, or other readings of a band, are corrections, to be replayed from before that day.
    """
    weighed = not mass_on(profile, date.max).assumed
    return checkpoint.engine != ENGINE_VERSION or (checkpoint.mass_assumed and weighed)


def relevant(session: Session, exercise: Exercise) -> bool:
    """Whether the session has a set that speaks of this exercise."""
    kin = sets.family(exercise)
    return not session.skipped and any(done.exercise in kin for done in session.sets)


def opened(checkpoint: Checkpoint, day: date, profile: Profile) -> tuple[State, Mass]:
    """The belief on the morning of `day`, and the body mass to reckon with."""
    mass = mass_on(profile, day)
    if checkpoint.day is None:
        return prior_state(profile, checkpoint.exercise, mass.mass_g), mass
    state = checkpoint.state()
    if checkpoint.mass_assumed != mass.assumed:
        state.mean[STRENGTH] += math.log(mass.mass_g / checkpoint.mass_g)
    return days.forward(state, (day - checkpoint.day).days, profile), mass


def _with_session(before: Checkpoint, session: Session, profile: Profile) -> Checkpoint:
    state, mass = opened(before, session.day, profile)
    if not mass.assumed:
        state.cov[FORM, FORM] += (mass.spread / sets.worth_of_one(math.exp(state.mean[CURVE]))) ** 2
    course = through(Course(state, Tired(), profile, mass.mass_g), session, before.exercise)
    return _packed(closed(course), before.exercise, session.day, before.sessions + 1, mass)


def through(course: Course, session: Session, exercise: Exercise) -> Course:
    """The course after every set of the session that speaks of the exercise."""
    kin = sets.family(exercise)
    asked = [one for one in session.prescribed if one.exercise in kin]
    places = [place for place, done in enumerate(session.sets) if done.exercise in kin]
    for turn, place in enumerate(places):
        plan = asked[turn] if turn < len(asked) else None
        if set_fault(session, place, course.profile) is None:
            course = after_set(course, session.sets[place], plan)
        rest_s = USUAL_REST_S if plan is None else plan.rest_s
        course = replace(course, tired=course.tired.rested(rest_s))
    return course


def after_set(course: Course, done: Set, asked: PrescribedSet | None) -> Course:
    """The course right after one set, before its rest. A set of unknown load says nothing."""
    if done.added_g is None or done.bands is None:
        return course
    load = sets.Load(done.exercise, done.added_g, done.bands)
    state = sets.met(course.state, load, course.profile)
    rows, offset = sets.view(state, load, course.profile, course.mass_g)
    evidence, lost = readings.reading(done, asked), course.tired.lost
    scatter = sets.noise(np.array(lost), np.array(_possible(state, rows, offset, lost)))
    noise = float(scatter)

    def likelihood(possible: Floats, bias: Floats) -> Floats:
        return readings.likelihood(evidence, possible, bias, noise)

    about = readings.about(evidence)
    state = update.absorb(state, update.Seen(rows, offset, lost, about), likelihood)
    tired = course.tired.after(done.reps, _possible(state, rows, offset, lost))
    return replace(course, state=state, tired=tired)


def _possible(state: State, rows: Floats, offset: float, lost: float) -> float:
    """Repetitions to failure as the mean of the belief has it."""
    fresh = reps_at(rows[0] @ state.mean + offset, np.exp(state.mean[CURVE]))
    return float(fresh) * kept(lost, math.exp(state.mean[TIRING]))


def closed(course: Course) -> State:
    """The belief once the session is over: what its work takes from the next days."""
    state = course.state
    toll = TOLL * course.tired.total
    mean, cov = state.mean.copy(), state.cov.copy()
    mean[FORM] -= toll
    cov[FORM, FORM] += (0.5 * toll) ** 2
    return State(state.names, mean, cov)


def _packed(state: State, exercise: Exercise, day: date | None, sessions: int, mass: Mass) -> Checkpoint:
    return Checkpoint(
        engine=ENGINE_VERSION,
        exercise=exercise,
        day=day,
        sessions=sessions,
        mass_g=mass.mass_g,
        mass_assumed=mass.assumed,
        names=state.names,
        mean=tuple(float(value) for value in state.mean),
        cov=triangle(state.cov),
    )
