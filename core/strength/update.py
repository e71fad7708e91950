"""One set into the belief: the exact posterior of the two directions that a set sees, by quadrature, and
everything else by regression on them (assumed-density filtering). No randomness; well under a millisecond.

The curve is seen through its effect on the repetitions at this load, linear around what is then believed, and
not through how closely repetitions repeat: a Gaussian would take steady repetitions for a steep curve.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from core.strength.curve import PIVOT, Floats
from core.strength.fatigue import kept
from core.strength.state import CURVE, TIRING, State

Likelihood = Callable[[Floats, Floats], Floats]  # of (repetitions possible, bias), elementwise

POINTS = 61  # along the margin, the sharp direction
REACH = 4.5  # spreads
NARROW = 0.45  # of the prior's spread: below, the grid is drawn again around the posterior
# The curve takes only this part of each correction (a partial-update filter): a Gaussian sees it askew, set after
# set to the same side, and what a log says of the curve hangs on details that no model has right.
CURVE_LEARNS = 0.3
HERMITE_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(5)
HERMITE_WEIGHTS = _WEIGHTS / _WEIGHTS.sum()
LINE = np.linspace(-REACH, REACH, POINTS)
PER_POINT = float(LINE[1] - LINE[0]) / math.sqrt(2 * math.pi)


@dataclass(frozen=True, slots=True)
class Seen:
    """What a set sees: `rows` (2, n) give fresh margin and rating bias as linear functions of the state, `offset`
    is added to the margin, `lost` is the share of repetitions that the sets before it took, `about` the number
    of possible repetitions that its record speaks of."""

    rows: Floats
    offset: float
    lost: float
    about: float | None


def absorb(state: State, seen: Seen, likelihood: Likelihood) -> State:
    """The belief after one set; curve and tiring linear around their means, where the record speaks."""
    log_k, log_tiring = float(state.mean[CURVE]), float(state.mean[TIRING])
    k, left = math.exp(log_k), kept(seen.lost, math.exp(log_tiring))
    slope = 1.0 / k + (PIVOT - 1)
    margin = float(seen.rows[0] @ state.mean) + seen.offset
    if seen.about is not None:
        margin = math.log(max(1.0 + (max(seen.about, 0.0) / left - PIVOT) / slope, 0.5))
    grown = math.exp(margin)
    fresh = max(PIVOT + (grown - 1.0) * slope, 0.0)
    tilt = (1.0 / grown - 1.0) / (1 + (PIVOT - 1) * k)
    drag = -fresh * (1.0 - left) / (left * slope * grown)
    rows = seen.rows.copy()
    rows[0, CURVE] += tilt
    rows[0, TIRING] += drag
    middle = rows @ state.mean
    middle[0] += seen.offset - tilt * log_k - drag * log_tiring
    cross = state.cov @ rows.T
    spread = rows @ cross

    def of_margin(margins: Floats, bias: Floats) -> Floats:
        return likelihood((PIVOT + np.expm1(margins) * slope) * left, bias)

    mean, cov = _moments(middle, spread, of_margin)
    gain = np.linalg.solve(spread, cross.T).T
    moved = gain @ (mean - middle)
    after = state.cov + gain @ (cov - spread) @ gain.T
    moved[CURVE] *= CURVE_LEARNS
    learnt = max(state.cov[CURVE, CURVE] - after[CURVE, CURVE], 0.0)  # surprise may widen, which stays as it is
    after[CURVE, CURVE] += (1 - CURVE_LEARNS) ** 2 * learnt
    return State(state.names, state.mean + moved, 0.5 * (after + after.T))


def _moments(middle: Floats, spread: Floats, likelihood: Likelihood) -> tuple[Floats, Floats]:
    """Mean (2,) and covariance (2, 2) of prior times likelihood."""
    wide = math.sqrt(spread[0, 0])
    mean, cov = _on_grid(middle, spread, likelihood, float(middle[0]), wide)
    narrow = math.sqrt(max(cov[0, 0], 1e-12))
    if narrow < NARROW * wide:
        mean, cov = _on_grid(middle, spread, likelihood, float(mean[0]), 1.4 * narrow)
    return mean, cov


def _on_grid(
    middle: Floats, spread: Floats, likelihood: Likelihood, centre: float, scale: float
) -> tuple[Floats, Floats]:
    """The same by a line of points along the margin around `centre`, Hermite nodes across it."""
    steep = math.sqrt(spread[0, 0])
    lean = spread[0, 1] / spread[0, 0]
    across = math.sqrt(max(spread[1, 1] - lean * spread[0, 1], 1e-12))
    margins = centre + scale * LINE
    z = (margins - middle[0]) / steep
    prior = np.exp(-0.5 * z * z) * (scale / steep * PER_POINT)
    points = np.empty((2, POINTS, len(HERMITE_NODES)))
    points[0] = margins[:, None]
    points[1] = (middle[1] + lean * (margins - middle[0]))[:, None] + across * HERMITE_NODES
    mass = prior[:, None] * HERMITE_WEIGHTS * likelihood(points[0], points[1])
    flat, mass = points.reshape(2, -1), mass.ravel() / mass.sum()
    mean = flat @ mass
    away = flat - mean[:, None]
    return mean, (away * mass) @ away.T
