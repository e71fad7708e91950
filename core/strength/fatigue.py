"""Fatigue inside a session: what a set takes, and what a rest gives back.

Right after `n` repetitions the log capacity has fallen by L = -ln(1 - k n load/1RM): at failure exactly to the
load. Most of L goes within a minute or two, a smaller part stays for the session. With the constants
below, three sets of 10RM keep .80 of three times the first at 2 min and .91 at 5 min
(Senna et al. 2009, JSSM 8:197-202: .79 and .93 +- .05).
"""

import math
from dataclasses import dataclass

from core.strength.curve import PIVOT

LASTING = 0.13  # part of the loss that outlives the next rest
BRIEF_S = 60.0  # time constants of recovery
LASTING_S = 1200.0
USUAL_REST_S = 180  # where nobody said how long
BETWEEN_DAYS = 0.02  # part of the summed losses that is still there after the session, fading over days


@dataclass(frozen=True, slots=True)
class Tired:
    """Log capacity lost so far today: the brief and the lasting part, and the sum of all losses."""

    brief: float = 0.0
    lasting: float = 0.0
    total: float = 0.0

    @property
    def loss(self) -> float:
        return self.brief + self.lasting

    def after(self, reps: int, margin: float, k: float) -> "Tired":
        """After a set of `reps` that began at `margin`."""
        reserve = margin + math.log1p(k * (PIVOT - 1))
        left = max(1.0 - k * reps * math.exp(-reserve), (1.0 - k) * math.exp(-max(reserve, 0.0)))
        lost = -math.log(min(left, 1.0))
        return Tired(self.brief + (1 - LASTING) * lost, self.lasting + LASTING * lost, self.total + lost)

    def rested(self, seconds: float) -> "Tired":
        return Tired(
            self.brief * math.exp(-seconds / BRIEF_S),
            self.lasting * math.exp(-seconds / LASTING_S),
            self.total,
        )
