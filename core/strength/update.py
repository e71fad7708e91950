"""One set into the belief: the exact posterior of the few directions that a set sees, by quadrature, and
everything else by regression on them (assumed-density filtering). No randomness; well under a millisecond."""

from collections.abc import Callable

import numpy as np

from core.strength.curve import Floats
from core.strength.state import State

Likelihood = Callable[[Floats, Floats, Floats], Floats]  # of (margin, ln k, bias), elementwise

POINTS = 61  # along the margin, the sharp direction
REACH = 4.5  # spreads
HERMITE_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(5)
HERMITE_WEIGHTS = _WEIGHTS / _WEIGHTS.sum()
LINE = np.linspace(-REACH, REACH, POINTS)


def absorb(state: State, seen: Floats, offset: float, noise: float, likelihood: Likelihood) -> tuple[State, float]:
    """The belief after one set, and the log probability of its record.

    `seen` (3, n): rows that give margin, ln k and rating bias as linear functions of the state;
    `offset` is added to the margin, `noise` is the set's own 1 SD on it.
    """
    middle = seen @ state.mean
    middle[0] += offset
    cross = state.cov @ seen.T
    spread = seen @ cross
    spread[0, 0] += noise * noise
    first = _moments(middle, spread, likelihood, middle[0], float(np.sqrt(spread[0, 0])))
    evidence, mean, cov = first
    wide, narrow = np.sqrt(spread[0, 0]), np.sqrt(max(cov[0, 0], 1e-12))
    if narrow < 0.45 * wide:
        evidence, mean, cov = _moments(middle, spread, likelihood, mean[0], float(1.4 * narrow))
    gain = np.linalg.solve(spread, cross.T).T
    after = state.cov + gain @ (cov - spread) @ gain.T
    return State(state.names, state.mean + gain @ (mean - middle), 0.5 * (after + after.T)), evidence


def _moments(
    middle: Floats, spread: Floats, likelihood: Likelihood, centre: float, scale: float
) -> tuple[float, Floats, Floats]:
    """Log evidence, mean (3,) and covariance (3, 3) of prior times likelihood; grid around `centre`."""
    points, weights = _grid(middle, spread, centre, scale)
    mass = weights * likelihood(points[0], points[1], points[2])
    total = mass.sum()
    mass /= total
    flat = points.reshape(3, -1)
    mean = flat @ mass.ravel()
    away = flat - mean[:, None]
    return float(np.log(total)), mean, (away * mass.ravel()) @ away.T


def _grid(middle: Floats, spread: Floats, centre: float, scale: float) -> tuple[Floats, Floats]:
    """Points (3, POINTS, 5, 5) and prior weights (POINTS, 5, 5): a line along the margin, Hermite across."""
    root = np.linalg.cholesky(spread + 1e-15 * np.eye(3))
    margin = centre + scale * LINE
    z = (margin - middle[0]) / root[0, 0]
    weight = np.exp(-0.5 * z * z)
    weight *= scale / root[0, 0] * (LINE[1] - LINE[0]) * 0.3989422804014327
    y = HERMITE_NODES
    points = np.empty((3, POINTS, 5, 5))
    points[0] = margin[:, None, None]
    points[1] = (middle[1] + root[1, 0] * z)[:, None, None] + (root[1, 1] * y)[None, :, None]
    points[2] = (middle[2] + root[2, 0] * z)[:, None, None] + (root[2, 1] * y)[None, :, None]
    points[2] += (root[2, 2] * y)[None, None, :]
    weights = weight[:, None, None] * HERMITE_WEIGHTS[None, :, None] * HERMITE_WEIGHTS[None, None, :]
    return points, weights
