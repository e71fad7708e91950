"""A session filled set by set with as many repetitions as a given chance allows, in one walk."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from core.strength.belief import WEIGHTS, Belief, _Walk
from core.strength.curve import margin_for, normal_cdf, reps_at
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
    walk = _Walk(belief, planned)
    together = np.ones_like(WEIGHTS)
    reps, possible = [], []
    for one, limit in zip(planned, most, strict=True):
        margin, noise = walk.margin(one)
        counts = np.arange(1, max(limit, 1) + 1)
        needed = np.stack([margin_for(int(count), walk.k) for count in counts])
        managed = normal_cdf((margin - needed) / noise)
        likely = int(np.sum(managed @ WEIGHTS >= chance))
        count = max(likely, 1)
        together = together * managed[count - 1]
        reps.append(count)
        possible.append(float(WEIGHTS @ reps_at(margin, walk.k)))
        walk.take(replace(one, reps=count), margin)
    return Filled(tuple(reps), tuple(possible), float(WEIGHTS @ together))
