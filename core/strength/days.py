"""What days do to strength and to what we know of it: training, rest, a lay-off."""

import math

import numpy as np

from core.strength.state import (
    BIAS,
    CURVE,
    FORM,
    FORM_SPREAD,
    STRENGTH,
    TREND,
    TREND_MEAN,
    TREND_SPREAD,
    State,
)

WANDER = 0.0035  # of strength in a day, 1 SD; grows with the root of the days
TREND_DAYS = 60.0  # how long a pace of gain keeps
FORM_DAYS = 2.0  # how long a good or bad day and the last session's fatigue keep
CURVE_WANDER = 0.004  # of ln k in a day
BIAS_WANDER = 0.02  # of the rating bias in a day, in repetitions
GAINING_DAYS = 10  # after the last session nothing more is gained

# No loss over about three weeks off; after ten weeks off strength is back in five (Halonen et al. 2024).
# The daily loss beyond three weeks is ours: 7 weeks at .12 % are 6 %.
KEPT_DAYS = 21
LOSS_A_DAY = 0.0012
LARGEST_LOSS = 0.20
LAY_OFF_WANDER = 0.006  # per root day beyond three weeks


def forward(state: State, days: int) -> State:
    """The belief `days` later with no session in between."""
    if days <= 0:
        return state
    n = len(state.names)
    step = np.eye(n)
    step[STRENGTH, TREND] = min(days, GAINING_DAYS)
    keep, form = math.exp(-days / TREND_DAYS), math.exp(-days / FORM_DAYS)
    step[TREND, TREND], step[FORM, FORM] = keep, form
    mean = step @ state.mean
    mean[TREND] += (1 - keep) * TREND_MEAN
    mean[STRENGTH] -= lost(days)
    cov = step @ state.cov @ step.T
    cov[np.diag_indices(n)] += _doubt(n, days, keep, form)
    return State(state.names, mean, cov)


def lost(days: int) -> float:
    """Of ln strength, over so many days without a session."""
    return min(LOSS_A_DAY * max(days - KEPT_DAYS, 0), LARGEST_LOSS)


def _doubt(n: int, days: int, keep: float, form: float) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    """The variance that the days add to each quantity."""
    added = np.zeros(n)
    added[STRENGTH] = WANDER**2 * days + LAY_OFF_WANDER**2 * max(days - KEPT_DAYS, 0)
    added[TREND] = TREND_SPREAD**2 * (1 - keep * keep)
    added[FORM] = FORM_SPREAD**2 * (1 - form * form)
    added[CURVE] = CURVE_WANDER**2 * min(days, 30)
    added[BIAS] = BIAS_WANDER**2 * min(days, 30)
    return added
