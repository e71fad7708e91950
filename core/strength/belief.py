"""What the estimate says about a day: strength, repetitions to expect, chances, band pulls."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from core.strength import sets
from core.strength.curve import PIVOT, Floats
from core.strength.estimate import Course, after_set, blank, opened
from core.strength.fatigue import USUAL_REST_S, Tired
from core.strength.forecast import WEIGHTS, Interval, forecast
from core.strength.priors import GRIPS, MODEL_SPREAD, Profile
from core.strength.state import BIAS, CURVE, STRENGTH, TREND, Checkpoint, State
from core.training import Exercise, PrescribedSet, Set

Z80 = 1.2815515655446004  # an 80 % interval is the mean +- this many spreads


@dataclass(frozen=True, slots=True)
class Pull:
    """A band's mean pull in grams: as the kit states it, and as believed with its 80 % interval."""

    label: str
    stated_g: int
    median_g: int
    low_g: int
    high_g: int


@dataclass(frozen=True)
class Belief:
    """The estimate as it stands on one day, before or during a session."""

    state: State
    profile: Profile
    mass_g: int
    mass_spread: float
    mass_assumed: bool
    exercise: Exercise
    tired: Tired = field(default_factory=Tired)

    def one_rm(self, exercise: Exercise | None = None) -> Interval:
        """System 1RM in grams, rested: median and 80 % interval; of another grip where `exercise` says so."""
        state = sets.met(self.state, sets.Load(exercise or self.exercise, 0, ()), self.profile)
        over = (PIVOT - 1) * math.exp(state.mean[CURVE])
        row = np.zeros(len(state.names))
        row[STRENGTH], row[CURVE] = 1.0, over / (1 + over)
        middle = state.mean[STRENGTH] + math.log1p(over) + 0.5 * over / (1 + over) ** 2 * state.cov[CURVE, CURVE]
        if exercise in GRIPS:
            place = state.at(sets.grip_name(exercise))
            row[place], middle = 1.0, middle + state.mean[place]
        unsaid = MODEL_SPREAD**2 + (self.mass_spread**2 if self.mass_assumed else 0.0)
        spread = math.sqrt(row @ state.cov @ row + unsaid)
        return _interval(float(middle), spread)

    def curve(self) -> tuple[float, float, float]:
        """The personal k of share(r) = 1/(1 + k(r - 1)): median, low, high."""
        return _spread_of(self.state, CURVE, math.exp)

    def rating_bias(self) -> tuple[float, float, float]:
        """Repetitions by which ratings say too few in margin: median, low, high."""
        return _spread_of(self.state, BIAS, float)

    def trend(self) -> tuple[float, float, float]:
        """Gain a week in ln strength: median, low, high."""
        return _spread_of(self.state, TREND, lambda gain: 7.0 * gain)

    def system_g(self, added_g: int, bands: Sequence[str] = ()) -> int:
        """Body + added - mean assistance at the pulls as believed."""
        load = sets.Load(self.exercise, added_g, tuple(bands))
        return round(sets.system_g(self.state, load, self.profile, self.mass_g))

    def pulls(self) -> tuple[Pull, ...]:
        """Each band of the kit; one that was never used has the interval of its readings."""
        return tuple(self._pull(band.label) for band in self.profile.bands)

    def _pull(self, label: str) -> Pull:
        state = sets.met(self.state, sets.Load(self.exercise, 0, (label,)), self.profile)
        place = state.at(sets.band_name(label))
        band = self.profile.band(label)
        stated = 0.0 if band is None else band.pull_g
        low, high = (state.mean[place] + side * Z80 * math.sqrt(state.cov[place, place]) for side in (-1, 1))
        median = round(stated * math.exp(state.mean[place]))
        return Pull(label, round(stated), median, round(stated * math.exp(low)), round(stated * math.exp(high)))

    def during(self, done: Sequence[Set], asked: Sequence[PrescribedSet] = ()) -> "Belief":
        """The belief after today's sets so far, `asked` being what was prescribed for them; fatigue included,
        and the rest after the last one taken."""
        course = Course(self.state, self.tired, self.profile, self.mass_g)
        for turn, one in enumerate(done):
            plan = asked[turn] if turn < len(asked) else None
            if one.exercise in sets.family(self.exercise):
                course = after_set(course, one, plan)
            rest_s = USUAL_REST_S if plan is None else plan.rest_s
            course = replace(course, tired=course.tired.rested(rest_s))
        return replace(self, state=course.state, tired=course.tired)

    def expected_reps(self, planned: Sequence[PrescribedSet], done_today: Sequence[Set] = ()) -> list[Interval]:
        """Repetitions to failure in each planned set, were it taken there; the ones before it as planned."""
        now = self.during(done_today) if done_today else self
        return [at.counted() for at in forecast(now.state, now.profile, now.mass_g, now.tired, planned)]

    def set_chances(self, planned: Sequence[PrescribedSet]) -> list[float]:
        """The chance of completing each set, those before it done as planned."""
        return [float(WEIGHTS @ one) for one in self._managed(planned)]

    def chance(self, planned: Sequence[PrescribedSet]) -> float:
        """The probability that every set is completed as prescribed."""
        together = np.ones_like(WEIGHTS)
        for one in self._managed(planned):
            together = together * one
        return float(WEIGHTS @ together)

    def _managed(self, planned: Sequence[PrescribedSet]) -> list[Floats]:
        """For each set, the chance of completing it at each node of what is not known."""
        found = forecast(self.state, self.profile, self.mass_g, self.tired, planned)
        return [at.at_least(float(one.reps)) for at, one in zip(found, planned, strict=True)]


def belief(checkpoint: Checkpoint | None, day: date, profile: Profile) -> Belief:
    """What is believed on the morning of `day`; without a checkpoint, of pull-ups before any session."""
    known = blank(profile, Exercise.PULL_UP) if checkpoint is None else checkpoint
    state, mass = opened(known, day, profile)
    return Belief(state, profile, mass.mass_g, mass.spread, mass.assumed, known.exercise)


def _interval(middle: float, spread: float) -> Interval:
    return (
        round(math.exp(middle)),
        round(math.exp(middle - Z80 * spread)),
        round(math.exp(middle + Z80 * spread)),
    )


def _spread_of(state: State, place: int, shown: Callable[[float], float]) -> tuple[float, float, float]:
    middle, spread = float(state.mean[place]), math.sqrt(state.cov[place, place])
    return shown(middle), shown(middle - Z80 * spread), shown(middle + Z80 * spread)
