"""Repetitions against load: one personal curve through (1, 100 %): share(r) = 1/(1 + k(r - 1)).

Strength is kept as the load for six repetitions, not for one: what sets near six say about it then hardly
depends on k, and the two stay nearly independent (with the 1RM they would lie on a bent ridge that a Gaussian
cuts short). `margin` in this package is the log distance ln(six-repetition load now/load of the set): at 0 six
repetitions are possible.
"""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

PIVOT = 6  # repetitions
SIGN_AT = 0.3275911  # Abramowitz & Stegun 7.1.26, |error| < 1.5e-7
SERIES = (0.254829592, -0.284496736, 1.421413741, -1.453152027, 1.061405429)


def share(reps: float, k: float) -> float:
    """The load that allows `reps` repetitions to failure, as a fraction of the 1RM."""
    return 1.0 / (1.0 + k * (reps - 1.0))


def reps_at(margin: Floats, k: Floats) -> Floats:
    """Repetitions to failure, as a real number; under 1 where the load is over the 1RM."""
    return PIVOT + np.expm1(margin) * (1.0 / k + (PIVOT - 1))


def margin_for(reps: float | Floats, k: Floats) -> Floats:
    """The margin needed for `reps` repetitions: the inverse of `reps_at`."""
    return np.log1p(np.maximum(k * (reps - 1.0), -0.9)) - np.log1p(k * (PIVOT - 1))


def normal_cdf(x: Floats) -> Floats:
    """The standard normal distribution function, elementwise."""
    z = np.abs(x) * 0.7071067811865476
    t = 1.0 / (1.0 + SIGN_AT * z)
    tail = np.zeros_like(t)
    for coefficient in reversed(SERIES):
        tail = (tail + coefficient) * t
    upper = 0.5 * tail * np.exp(-z * z)
    return np.where(x > 0, 1.0 - upper, upper)
