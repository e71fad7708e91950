"""A session filled set by set with as many repetitions as a given chance allows, in one walk."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from core.strength.belief import Belief
from core.strength.forecast import WEIGHTS, Walk
from core.training import PrescribedSet


@dataclass(frozen=True, slots=True)
class Filled:
    """For each set: the repetitions, those possible in the median, and the chance of all sets together."""

    reps: tuple[int, ...]
    possible: tuple[float, ...]
    chance: float


def filled(belief: Belief, planned: Sequence[PrescribedSet], chance: float, most: Sequence[int]) -> Filled:
    """The most repetitions up to `most` of each set that are completed with at least `chance`, after the sets
    before it with theirs; at least one each, the planned repetitions count for nothing."""
    walk = Walk(belief.state, belief.profile, belief.mass_g, belief.tired, planned)
    together = np.ones_like(WEIGHTS)
    reps, possible = [], []
    for one, limit in zip(planned, most, strict=True):
        at = walk.possible(one)
        managed = at.at_least(np.arange(1.0, max(limit, 1) + 1)[:, None])
        count = max(int(np.sum(managed @ WEIGHTS >= chance)), 1)
        together = together * managed[count - 1]
        reps.append(count)
        possible.append(float(WEIGHTS @ at.reps))
        walk.take(replace(one, reps=count), at.reps)
    return Filled(tuple(reps), tuple(possible), float(WEIGHTS @ together))
