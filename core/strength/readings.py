"""What a set says: the likelihood of its record, given how many repetitions were possible.

`possible` are repetitions to failure as a real number (their floor is what would be counted), `bias` the
repetitions by which somebody under-reports the reserve. Each likelihood is a density over what could have
been recorded, up to a constant that depends on neither.
"""

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np

from core.strength.curve import Floats, normal_cdf
from core.training import PrescribedSet, Set

OPEN_STOP = 0.6  # reserve felt at the end of an open set with no effort named
STOP_SPREAD = 1.1  # of where an open set is stopped, in repetitions, at failure
UNRATED_SPREAD = 0.3  # more of it where no rating says what was felt
NEAR_FAILURE = 0.75  # of the bias that is left where open sets stop
BLUNDER = 0.04  # part of the feelings that mean nothing


class Kind(Enum):
    """What the record of a set tells about the repetitions that were possible."""

    FAILED = "failed"  # exactly these
    OPEN_FAILED = "open failed"  # exactly these, and the reserve was felt too large
    RATED = "rated"  # at least these, and a reading of the rest
    OPEN = "open"  # stopped by feeling, as near to failure as asked
    DONE = "done"  # as many as asked: at least these
    SHORT = "short"  # fewer than asked, without saying why
    FREE = "free"  # nothing was asked


@dataclass(frozen=True, slots=True)
class Reading:
    """A set as evidence: `reps` done, the reserve said or meant, and the extra doubt about that."""

    kind: Kind
    reps: int
    reserve: float = 0.0
    doubt: float = 0.0


def reading(done: Set, asked: PrescribedSet | None) -> Reading:
    """The evidence in a set, given what was asked of it."""
    is_open = asked is not None and asked.amrap
    meant = OPEN_STOP if asked is None or asked.rpe is None else 10.0 - asked.rpe
    if done.failed:
        return Reading(Kind.OPEN_FAILED if is_open else Kind.FAILED, done.reps, meant, UNRATED_SPREAD)
    if is_open:
        said = meant if done.rpe is None else 10.0 - done.rpe
        return Reading(Kind.OPEN, done.reps, said, UNRATED_SPREAD if done.rpe is None else 0.0)
    if done.rpe is not None:
        return Reading(Kind.RATED, done.reps, 10.0 - done.rpe)
    if asked is None:
        return Reading(Kind.FREE, done.reps)
    return Reading(Kind.DONE if done.reps >= asked.reps else Kind.SHORT, done.reps)


def about(seen: Reading) -> float | None:
    """The number of possible repetitions at which the record decides, where that is known beforehand."""
    return float(seen.reps) if seen.kind is Kind.DONE else None


def likelihood(seen: Reading, possible: Floats, bias: Floats, noise: float) -> Floats:
    """Relative likelihood of the record, elementwise; `noise` is how far one set scatters, in repetitions."""
    left = possible - seen.reps
    managed = normal_cdf(left / noise) if seen.reps > 0 else np.ones_like(left)
    match seen.kind:
        case Kind.FAILED:
            return managed - normal_cdf((left - 1.0) / noise) + 1e-9
        case Kind.OPEN_FAILED:
            mean, spread = _stop(seen, bias, noise)
            felt = BLUNDER + normal_cdf((0.5 - mean) / spread)
            return (managed - normal_cdf((left - 1.0) / noise)) * felt + 1e-9
        case Kind.RATED:
            return managed * _felt(seen.reserve, left, bias, noise) + 1e-9
        case Kind.OPEN:
            mean, spread = _stop(seen, bias, noise)
            near = np.exp(-0.5 * np.square((left - 0.5 - mean) / spread)) / spread
            return managed * (BLUNDER * 0.3 + (1 - BLUNDER) * near) + 1e-9
        case Kind.DONE:
            return managed + 1e-9
        case Kind.SHORT:
            return managed * (0.15 + np.exp(-0.5 * np.square(np.maximum(left - 0.5, 0.0) / 1.2))) + 1e-9
        case Kind.FREE:
            return managed * (0.5 + np.exp(-0.5 * np.square(np.maximum(left - 1.0, 0.0) / 4.0))) + 1e-9


def _stop(seen: Reading, bias: Floats, noise: float) -> tuple[Floats, float]:
    """Mean and spread of the real reserve at which an open set is stopped: the one felt, and the bias on it."""
    own = STOP_SPREAD + 0.15 * seen.reserve
    spread = math.sqrt(own * own + seen.doubt * seen.doubt + noise * noise)
    return seen.reserve + bias * (NEAR_FAILURE if seen.reserve < 2 else 1.0), spread


def _felt(said: float, left: Floats, bias: Floats, noise: float) -> Floats:
    """Chance of saying `said` in reserve where `left` are: about 1 off near failure, over 2 at 7-10 away
    (Hackett et al. 2017, JSCR 31(8)); the bias vanishes at failure, and nobody says less than none."""
    real = np.maximum(left - 0.5, 0.0)
    mean = real - bias * (1.0 - np.exp(-real / 1.2))
    spread = np.sqrt(np.square(0.6 + 0.18 * real) + noise * noise)
    if said <= 0.25:
        felt = normal_cdf((0.5 - mean) / spread)
    else:
        felt = np.exp(-0.5 * np.square((said - mean) / spread)) / spread * 0.4
    return BLUNDER * 0.15 + (1 - BLUNDER) * felt
