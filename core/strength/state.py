"""The belief as numbers: a Gaussian over a few named quantities, and the checkpoint that stores it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
from numpy.typing import NDArray

from core.strength import priors
from core.strength.curve import PIVOT
from core.training import Exercise

Floats = NDArray[np.float64]

ENGINE_VERSION = "1"

# Places of the quantities that everybody has; grips and bands follow as they are met.
STRENGTH, CURVE, FORM, BIAS, TIRING, TREND = range(6)
COMMON = ("strength", "curve", "form", "bias", "tiring", "trend")

FORM_SPREAD = 0.65  # good and bad days, in repetitions near six
TREND_MEAN = 0.0005  # gain a day of somebody who trains, as a fraction
TREND_SPREAD = 0.0006


@dataclass(frozen=True, slots=True)
class State:
    """Mean (n,) and covariance (n, n) over `names`. Strength is ln grams of the six-repetition load, form is in
    repetitions near six,
    curve is ln k."""

    names: tuple[str, ...]
    mean: Floats
    cov: Floats

    def at(self, name: str) -> int:
        return self.names.index(name)

    def with_quantity(self, name: str, mean: float, spread: float) -> "State":
        """The same with one more, independent quantity."""
        n = len(self.names)
        cov = np.zeros((n + 1, n + 1))
        cov[:n, :n] = self.cov
        cov[n, n] = spread * spread
        return State((*self.names, name), np.append(self.mean, mean), cov)


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """All that is known after the last session, as plain numbers; two of the same history are equal.

    `day`: of the last session, None before the first. `mass_g`: the body mass then reckoned with.
    `cov`: the lower triangle, row by row.
    """

    engine: str
    exercise: Exercise
    day: date | None
    sessions: int
    mass_g: int
    mass_assumed: bool
    names: tuple[str, ...]
    mean: tuple[float, ...]
    cov: tuple[float, ...]

    def to_json(self) -> dict[str, Any]:
        return {
            "engine": self.engine,
            "exercise": self.exercise.value,
            "day": None if self.day is None else self.day.isoformat(),
            "sessions": self.sessions,
            "mass_g": self.mass_g,
            "mass_assumed": self.mass_assumed,
            "names": list(self.names),
            "mean": list(self.mean),
            "cov": list(self.cov),
        }

    @staticmethod
    def from_json(data: dict[str, Any]) -> "Checkpoint":
        return Checkpoint(
            engine=data["engine"],
            exercise=Exercise(data["exercise"]),
            day=None if data["day"] is None else date.fromisoformat(data["day"]),
            sessions=data["sessions"],
            mass_g=data["mass_g"],
            mass_assumed=data["mass_assumed"],
            names=tuple(data["names"]),
            mean=tuple(float(value) for value in data["mean"]),
            cov=tuple(float(value) for value in data["cov"]),
        )

    def state(self) -> State:
        return State(self.names, np.array(self.mean), square(self.cov, len(self.names)))


def square(triangle: Sequence[float], n: int) -> Floats:
    """The symmetric matrix of a lower triangle."""
    full = np.zeros((n, n))
    rows, columns = np.tril_indices(n)
    full[rows, columns] = triangle
    full[columns, rows] = triangle
    return full


def triangle(full: Floats) -> tuple[float, ...]:
    rows, columns = np.tril_indices(len(full))
    return tuple(float(value) for value in full[rows, columns])


def homes(profile: priors.Profile) -> Floats:
    """What is usual of each common quantity; strength has no such value (0)."""
    return np.array([0.0, np.log(priors.CURVE[profile.sex]), 0.0, priors.BIAS, 0.0, TREND_MEAN])


def prior_state(profile: priors.Profile, exercise: Exercise, mass_g: int) -> State:
    """Before the first set."""
    log_one_rm, spread = priors.usual_one_rm(profile, mass_g)
    if exercise is Exercise.DIP:
        log_one_rm, spread = log_one_rm + np.log(priors.DIP_RATIO), float(np.hypot(spread, priors.DIP_SPREAD))
    over = (PIVOT - 1) * priors.CURVE[profile.sex]
    tilt = -over / (1 + over)  # the 1RM is what is independent of the curve
    mean = homes(profile)
    mean[STRENGTH] = log_one_rm - np.log1p(over)
    spreads = [
        spread,
        priors.CURVE_SPREAD,
        FORM_SPREAD,
        priors.BIAS_SPREAD,
        priors.TIRING_SPREAD,
        TREND_SPREAD,
    ]
    cov = np.diag(np.square(spreads))
    cov[STRENGTH, CURVE] = cov[CURVE, STRENGTH] = tilt * cov[CURVE, CURVE]
    cov[STRENGTH, STRENGTH] += tilt * tilt * cov[CURVE, CURVE]
    return State(COMMON, mean, cov)
