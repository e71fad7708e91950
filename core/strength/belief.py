"""What the estimate says about a day: strength, repetitions to expect, chances, band pulls."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

import numpy as np

from core.strength import sets
from core.strength.curve import PIVOT, Floats, margin_for, normal_cdf, reps_at
from core.strength.estimate import Course, after_set, blank, opened
from core.strength.fatigue import BRIEF_S, LASTING, LASTING_S, USUAL_REST_S, Tired
from core.strength.priors import GRIPS, Profile
from core.strength.state import BIAS, CURVE, STRENGTH, TIRING, TREND, Checkpoint, State
from core.training import Exercise, PrescribedSet, Set

Z80 = 1.2815515655446004  # an 80 % interval is the mean +- this many spreads
NODES, _W = np.polynomial.hermite_e.hermegauss(11)
NODE_WEIGHTS = _W / _W.sum()
FEW, _F = np.polynomial.hermite_e.hermegauss(3)
FEW_WEIGHTS = _F / _F.sum()
GRID = np.stack(np.meshgrid(NODES, FEW, FEW, indexing="ij")).reshape(3, -1)
WEIGHTS = (NODE_WEIGHTS[:, None, None] * FEW_WEIGHTS[:, None] * FEW_WEIGHTS).ravel()

Interval = tuple[int, int, int]  # median, low, high of an 80 % interval


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
        spread = math.sqrt(row @ state.cov @ row + (self.mass_spread**2 if self.mass_assumed else 0.0))
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
        return [_counted(reps, noise) for reps, noise in now._possible(planned)]

    def set_chances(self, planned: Sequence[PrescribedSet]) -> list[float]:
        """The chance of completing each set, those before it done as planned."""
        return [float(WEIGHTS @ one) for one in self._completed(planned)]

    def chance(self, planned: Sequence[PrescribedSet]) -> float:
        """The probability that every set is completed as prescribed."""
        together = np.ones_like(WEIGHTS)
        for one in self._completed(planned):
            together = together * one
        return float(WEIGHTS @ together)

    def _completed(self, planned: Sequence[PrescribedSet]) -> list[Floats]:
        """For each set, the chance of completing it at each node of what we do not know."""
        walk = _Walk(self, planned)
        found = []
        for one in planned:
            margin, noise = walk.margin(one)
            found.append(normal_cdf((margin - margin_for(one.reps, walk.k)) / noise))
            walk.take(one, margin)
        return found

    def _possible(self, planned: Sequence[PrescribedSet]) -> list[tuple["_Spread", Floats]]:
        walk = _Walk(self, planned)
        found = []
        for one in planned:
            margin, noise = walk.margin(one)
            found.append((_Spread(margin, walk.k), noise))
            walk.take(one, margin)
        return found


@dataclass(frozen=True, slots=True)
class _Spread:
    """Reserve and curve at each node."""

    margin: Floats
    k: Floats


class _Walk:
    """A planned session, set by set, at every node of (margin of the first set, ln k, tiring)."""

    def __init__(self, belief: Belief, planned: Sequence[PrescribedSet]) -> None:
        self.belief = belief
        self.state = belief.state
        for one in planned:
            self.state = sets.met(self.state, _load(one), belief.profile)
        first = planned[0] if planned else PrescribedSet(1)
        rows, _ = sets.view(self.state, _load(first), belief.profile, belief.mass_g, Tired())
        rows[2] = 0.0
        rows[2, TIRING] = 1.0
        spread = rows @ self.state.cov @ rows.T
        self.root = np.linalg.cholesky(spread + 1e-12 * np.eye(3))
        self.away = self.root @ GRID
        self.regress = np.linalg.solve(spread + 1e-12 * np.eye(3), rows @ self.state.cov)
        self.left_over = self.state.cov - (rows @ self.state.cov).T @ self.regress
        self.k = np.exp(self.state.mean[CURVE] + self.away[1])
        self.tiring = np.exp(self.state.mean[TIRING] + self.away[2])
        self.brief = np.full(len(WEIGHTS), belief.tired.brief)
        self.lasting = np.full(len(WEIGHTS), belief.tired.lasting)

    def margin(self, one: PrescribedSet) -> tuple[Floats, Floats]:
        """The margin at each node, and the spread left around it (the set's own noise included)."""
        belief = self.belief
        rows, offset = sets.view(self.state, _load(one), belief.profile, belief.mass_g, Tired())
        middle = float(rows[0] @ self.state.mean + offset)
        loss = self.tiring * (self.brief + self.lasting)
        rest = float(rows[0] @ self.left_over @ rows[0])
        noise = np.sqrt(max(rest, 0.0) + sets.SET_NOISE**2 + np.square(sets.TIRED_NOISE * loss / self.tiring))
        return middle + (rows[0] @ self.regress.T) @ self.away - loss, noise

    def take(self, one: PrescribedSet, margin: Floats) -> None:
        """The set done as planned, and its rest."""
        over = margin + np.log1p(self.k * (PIVOT - 1))
        low = (1.0 - self.k) * np.exp(-np.maximum(over, 0.0))
        left = np.maximum(1.0 - self.k * one.reps * np.exp(-over), low)
        lost = -np.log(np.minimum(left, 1.0))
        self.brief = (self.brief + (1 - LASTING) * lost) * math.exp(-one.rest_s / BRIEF_S)
        self.lasting = (self.lasting + LASTING * lost) * math.exp(-one.rest_s / LASTING_S)


def belief(checkpoint: Checkpoint | None, day: date, profile: Profile) -> Belief:
    """What is believed on the morning of `day`; without a checkpoint, of pull-ups before any session."""
    known = blank(profile, Exercise.PULL_UP) if checkpoint is None else checkpoint
    state, mass = opened(known, day, profile)
    return Belief(state, profile, mass.mass_g, mass.spread, mass.assumed, known.exercise)


def _load(one: PrescribedSet) -> sets.Load:
    return sets.Load(one.exercise, one.added_g, one.bands)


def _interval(middle: float, spread: float) -> Interval:
    return (
        round(math.exp(middle)),
        round(math.exp(middle - Z80 * spread)),
        round(math.exp(middle + Z80 * spread)),
    )


def _spread_of(state: State, place: int, shown: Callable[[float], float]) -> tuple[float, float, float]:
    middle, spread = float(state.mean[place]), math.sqrt(state.cov[place, place])
    return shown(middle), shown(middle - Z80 * spread), shown(middle + Z80 * spread)


def _counted(at: _Spread, noise: Floats) -> Interval:
    """Median and 80 % interval of whole repetitions to failure, from the mixture over the nodes."""
    most = int(np.clip(np.max(reps_at(at.margin + 2.5 * noise, at.k)), 1, 200))
    needed = margin_for(np.arange(1.0, most + 2)[:, None], at.k)
    at_least = normal_cdf((at.margin - needed) / noise) @ WEIGHTS
    median, low, high = (int(np.sum(at_least > 1.0 - part)) for part in (0.5, 0.1, 0.9))
    return median, low, high
