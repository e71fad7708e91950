"""What a set says: the likelihood of its record, given how many repetitions were possible.

`possible` are repetitions to failure as a real number (their floor is what would be counted), `bias` the
repetitions by which somebody under-reports the reserve. Likelihoods are relative: only their shape matters.
"""

from dataclasses import dataclass
from enum import Enum

import numpy as np

from core.strength.curve import Floats, normal_cdf
from core.training import PrescribedSet, Set

EDGE = 0.2  # repetitions over which "one more" turns from impossible into possible
OPEN_STOP = 0.6  # reserve felt at the end of an open set with no effort named
STOP_DOUBT = 0.7  # more doubt about where an unrated open set was stopped, in repetitions
BLUNDER = 0.04  # part of ratings that mean nothing


class Kind(Enum):
    """What the record of a set tells about the repetitions that were possible."""

    FAILED = "failed"  # exactly these
    RATED = "rated"  # at least these, and a reading of the rest
    OPEN = "open"  # stopped by feeling, as near to failure as asked
    DONE = "done"  # as many as asked: at least these
    SHORT = "short"  # fewer than asked, without saying why
    FREE = "free"  # nothing was asked


@dataclass(frozen=True, slots=True)
class Reading:
    """A set as evidence: `reps` done, and the reserve read or meant where there is one."""

    kind: Kind
    reps: int
    reserve: float = 0.0


def reading(done: Set, asked: PrescribedSet | None) -> Reading:
    """The evidence in a set, given what was asked of it."""
    if done.failed:
        return Reading(Kind.FAILED, done.reps)
    if done.rpe is not None:
        return Reading(Kind.RATED, done.reps, 10.0 - done.rpe)
    if asked is None:
        return Reading(Kind.FREE, done.reps)
    if asked.amrap:
        return Reading(Kind.OPEN, done.reps, OPEN_STOP if asked.rpe is None else 10.0 - asked.rpe)
    return Reading(Kind.DONE if done.reps >= asked.reps else Kind.SHORT, done.reps)


def likelihood(seen: Reading, possible: Floats, bias: Floats) -> Floats:
    """Relative likelihood of the record, elementwise."""
    left = possible - seen.reps
    managed = normal_cdf(left / EDGE) if seen.reps > 0 else np.ones_like(left)
    match seen.kind:
        case Kind.FAILED:
            return managed * normal_cdf((1.0 - left) / EDGE) + 1e-9
        case Kind.RATED | Kind.OPEN:
            doubt = STOP_DOUBT if seen.kind is Kind.OPEN else 0.0
            felt = _felt(seen.reserve, left, bias, doubt)
            return managed * (BLUNDER * 0.2 + (1 - BLUNDER) * felt) + 1e-12
        case Kind.DONE:
            return managed + 1e-9
        case Kind.SHORT:
            return managed * (0.15 + np.exp(-0.5 * np.square(np.maximum(left - 0.5, 0.0) / 1.2))) + 1e-9
        case Kind.FREE:
            return managed * (0.5 + np.exp(-0.5 * np.square(np.maximum(left - 1.0, 0.0) / 4.0))) + 1e-9


def _felt(said: float, left: Floats, bias: Floats, doubt: float) -> Floats:
    """Density of saying `said` in reserve where `left` are: about 1 off near failure, over 2 at 7-10 away
    (Hackett et al. 2017, JSCR 31(8)); the bias vanishes at failure, and nobody says less than none."""
    real = np.maximum(left - 0.5, 0.0)
    mean = real - bias * (1.0 - np.exp(-real / 1.2))
    spread = np.sqrt((0.6 + 0.18 * real) ** 2 + doubt * doubt)
    off = (said - mean) / spread
    if said <= 0.25:
        return normal_cdf((0.25 - mean) / spread)
    return np.exp(-0.5 * off * off) / spread * 0.4
