"""A planned session before it happens: the repetitions possible in each set, as a mixture over what is not known."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from core.strength import sets
from core.strength.curve import PIVOT, Floats, normal_cdf, reps_at
from core.strength.fatigue import BRIEF_S, LASTING, LASTING_S, MOST_LOST, NEARNESS, Tired
from core.strength.priors import Profile
from core.strength.state import CURVE, TIRING, State
from core.training import PrescribedSet

NODES, _W = np.polynomial.hermite_e.hermegauss(11)
NODE_WEIGHTS = _W / _W.sum()
FEW, _F = np.polynomial.hermite_e.hermegauss(3)
FEW_WEIGHTS = _F / _F.sum()
GRID = np.stack(np.meshgrid(NODES, FEW, FEW, indexing="ij")).reshape(3, -1)
WEIGHTS = (NODE_WEIGHTS[:, None, None] * FEW_WEIGHTS[:, None] * FEW_WEIGHTS).ravel()
MOST_REPS = 150
TINY = 1e-12 * np.eye(3)

Interval = tuple[int, int, int]  # median, low, high of an 80 % interval


@dataclass(frozen=True, slots=True)
class Possible:
    """Repetitions to failure in one set: mean and scatter at each node, of `WEIGHTS`."""

    reps: Floats
    noise: Floats

    def at_least(self, count: float | Floats) -> Floats:
        """The chance of so many repetitions, at each node."""
        return normal_cdf((self.reps - count) / self.noise)

    def counted(self) -> Interval:
        """Median and 80 % interval of whole repetitions."""
        most = int(np.clip(np.max(self.reps + 2.5 * self.noise), 1, MOST_REPS))
        needed = np.arange(1.0, most + 2)[:, None]
        chances = normal_cdf((self.reps - needed) / self.noise) @ WEIGHTS
        median, low, high = (int(np.sum(chances > 1.0 - part)) for part in (0.5, 0.1, 0.9))
        return median, low, high


def forecast(
    state: State, profile: Profile, mass_g: int, tired: Tired, planned: Sequence[PrescribedSet]
) -> list[Possible]:
    """Each set in turn, the ones before it done as planned."""
    walk, found = Walk(state, profile, mass_g, tired, planned), []
    for one in planned:
        found.append(walk.possible(one))
        walk.take(one, found[-1].reps)
    return found


class Walk:
    """The session set by set, at every node of (margin of the first set, ln k, tiring); other quantities by
    regression on these, what is left of them as noise."""

    def __init__(
        self, state: State, profile: Profile, mass_g: int, tired: Tired, planned: Sequence[PrescribedSet]
    ) -> None:
        for one in planned:
            state = sets.met(state, _load(one), profile)
        self.state, self.profile, self.mass_g = state, profile, mass_g
        rows = np.zeros((3, len(state.names)))
        rows[0] = self._row(planned[0] if planned else PrescribedSet(1))[0]
        rows[1, CURVE] = rows[2, TIRING] = 1.0
        cross = rows @ state.cov
        spread = cross @ rows.T + TINY
        self.away = np.linalg.cholesky(spread) @ GRID
        self.regress = np.linalg.solve(spread, cross)
        self.left_over = state.cov - cross.T @ self.regress
        self.k = np.exp(state.mean[CURVE] + self.away[1])
        self.tiring = np.exp(state.mean[TIRING] + self.away[2])
        self.brief = np.full(len(WEIGHTS), tired.brief)
        self.lasting = np.full(len(WEIGHTS), tired.lasting)

    def _row(self, one: PrescribedSet) -> tuple[Floats, float]:
        """The fresh margin as a linear function of the state, and its mean."""
        rows, offset = sets.view(self.state, _load(one), self.profile, self.mass_g)
        return rows[0], float(rows[0] @ self.state.mean + offset)

    def possible(self, one: PrescribedSet) -> Possible:
        """The repetitions at each node, with their scatter."""
        row, middle = self._row(one)
        margin = middle + (self.regress @ row) @ self.away
        left = 1.0 - np.minimum(self.tiring * (self.brief + self.lasting), MOST_LOST)
        slope = np.exp(margin) * (1.0 / self.k + (PIVOT - 1)) * left  # repetitions per log load
        reps = reps_at(margin, self.k) * left
        rest = max(float(row @ self.left_over @ row), 0.0)
        scatter = sets.noise(self.brief + self.lasting, reps)
        return Possible(reps, np.sqrt(np.square(scatter) + rest * np.square(slope)))

    def take(self, one: PrescribedSet, possible: Floats) -> None:
        """The set done as planned, and its rest."""
        used = np.minimum(one.reps / np.maximum(possible, 1.0), 1.0) ** NEARNESS
        taken = (1.0 - np.minimum(self.brief + self.lasting, 1.0)) * used
        self.brief = (self.brief + (1 - LASTING) * taken) * math.exp(-one.rest_s / BRIEF_S)
        self.lasting = (self.lasting + LASTING * taken) * math.exp(-one.rest_s / LASTING_S)


def _load(one: PrescribedSet) -> sets.Load:
    return sets.Load(one.exercise, one.added_g, one.bands)
