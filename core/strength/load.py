"""Session-RPE load of a week and how monotonous it was (Foster et al. 2001, JSCR 15:109-115, as quoted).

No ratio of acute to chronic load: dividing by random chronic loads did as well (Impellizzeri et al. 2020).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class WeekLoad:
    """`monotony` is mean over the population standard deviation of the days' loads, `strain` the week's load times
    it; both None where every day is alike, which has no spread to divide by."""

    total: float
    monotony: float | None
    strain: float | None


def session_load(rpe: float, minutes: float) -> float:
    """Rating of the whole session times its minutes."""
    return rpe * minutes


def week_load(days: Sequence[float]) -> WeekLoad:
    """`days`: the load of each day, 0 for a day off."""
    total = math.fsum(days)
    mean = total / len(days) if days else 0.0
    spread = math.sqrt(math.fsum((one - mean) ** 2 for one in days) / len(days)) if days else 0.0
    if spread <= 1e-9 * max(mean, 1.0):
        return WeekLoad(total, None, None)
    return WeekLoad(total, mean / spread, total * mean / spread)
