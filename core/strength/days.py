"""What days do to strength and to what we know of it: training, rest, a lay-off."""

import numpy as np

from core.strength.priors import BIAS_SPREAD, CURVE_SPREAD, TIRING_SPREAD, Profile
from core.strength.state import (
    BIAS,
    CURVE,
    FORM,
    FORM_SPREAD,
    STRENGTH,
    TIRING,
    TREND,
    TREND_SPREAD,
    State,
    homes,
)

WANDER = 0.0035  # of strength in a day, 1 SD; grows with the root of the days
GAINING_DAYS = 10  # after the last session nothing more is gained

# Everything but strength returns to what is usual, with these time constants in days. For form that is
# fatigue going; for the others it is forgetting: evidence on them leans on details of the model, and
# what is months old should not be held too firmly.
RETURNS = (
    (FORM, 2.0, FORM_SPREAD),
    (TREND, 60.0, TREND_SPREAD),
    (CURVE, 60.0, CURVE_SPREAD),
    (BIAS, 120.0, BIAS_SPREAD),
    (TIRING, 90.0, TIRING_SPREAD),
)
PLACES = [place for place, _, _ in RETURNS]
SPANS = np.array([span for _, span, _ in RETURNS])
SPREADS = np.array([spread for _, _, spread in RETURNS])

# No loss over about three weeks off; after ten weeks off strength is back in five (Halonen et al. 2024).
# The daily loss beyond three weeks is ours: 7 weeks at .12 % are 6 %.
KEPT_DAYS = 21
LOSS_A_DAY = 0.0012
LARGEST_LOSS = 0.20
LAY_OFF_WANDER = 0.006  # per root day beyond three weeks


def forward(state: State, days: int, profile: Profile) -> State:
    """The belief `days` later with no session in between."""
    if days <= 0:
        return state
    keep = np.exp(-days / SPANS)
    scale = np.ones(len(state.names))
    scale[PLACES] = keep
    gaining = min(days, GAINING_DAYS)
    mean, cov = state.mean.copy(), state.cov.copy()
    mean[STRENGTH] += gaining * mean[TREND] - lost(days)
    cov[STRENGTH] += gaining * cov[TREND]
    cov[:, STRENGTH] += gaining * cov[:, TREND]
    home = homes(profile)[PLACES]
    mean[PLACES] = home + (mean[PLACES] - home) * keep
    cov *= np.outer(scale, scale)
    cov[PLACES, PLACES] += np.square(SPREADS) * (1 - np.square(keep))
    cov[STRENGTH, STRENGTH] += WANDER**2 * days + LAY_OFF_WANDER**2 * max(days - KEPT_DAYS, 0)
    return State(state.names, mean, cov)


def lost(days: int) -> float:
    """Of ln strength, over so many days without a session."""
    return min(LOSS_A_DAY * max(days - KEPT_DAYS, 0), LARGEST_LOSS)
