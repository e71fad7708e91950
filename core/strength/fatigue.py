"""Fatigue inside a session: what a set takes of the repetitions possible, and what a rest gives back.

A set to failure takes all of them, an easier one less than its share; most comes back within a minute or two, a smaller
part not before the session ends. With the constants below, three sets of 10RM keep .82 of three times the first
at 2 min and .91 at 5 min (Senna et al. 2009, JSSM 8:197-202: .79 and .93 +- .05).
"""

import math
from dataclasses import dataclass

LASTING = 0.13  # part of the loss that outlives the next rest
BRIEF_S = 60.0  # time constants of recovery
LASTING_S = 1200.0
NEARNESS = 1.5  # half the repetitions possible take a third of what all would
USUAL_REST_S = 180  # where nobody said how long
MOST_LOST = 0.85  # of the repetitions, however tired
TOLL = 0.15  # repetitions that a set to failure still costs right after the session, fading over days


@dataclass(frozen=True, slots=True)
class Tired:
    """Share of the repetitions lost, the brief and the lasting part, and the sum of all that sets took today."""

    brief: float = 0.0
    lasting: float = 0.0
    total: float = 0.0

    @property
    def lost(self) -> float:
        """Of the repetitions, for somebody who tires as most do."""
        return self.brief + self.lasting

    def after(self, reps: int, possible: float) -> "Tired":
        """After a set of `reps` where `possible` were, both as things then stood."""
        taken = (1.0 - min(self.lost, 1.0)) * min(reps / max(possible, 1.0), 1.0) ** NEARNESS
        return Tired(self.brief + (1 - LASTING) * taken, self.lasting + LASTING * taken, self.total + taken)

    def rested(self, seconds: float) -> "Tired":
        return Tired(
            self.brief * math.exp(-seconds / BRIEF_S),
            self.lasting * math.exp(-seconds / LASTING_S),
            self.total,
        )


def kept(lost: float, tiring: float) -> float:
    """Share of the repetitions that is left to somebody who tires `tiring` times as much as most."""
    return 1.0 - min(lost * tiring, MOST_LOST)
