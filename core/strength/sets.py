"""A set seen from the state: which quantities its load, grip and bands touch."""

import math
from dataclasses import dataclass

import numpy as np

from core.strength.curve import PIVOT, Floats
from core.strength.priors import GRIPS, LEAST_BAND_SPREAD, Profile
from core.strength.state import BIAS, CURVE, FORM, STRENGTH, State
from core.training import Exercise

# Doubt about a set is kept in repetitions, not in load: were it in load, how little the repetitions scatter would
# pass for knowledge of the curve. Retest SEM .7 at 90 % and 1.1 at 70 % of the 1RM, form included (PMC9070879).
SET_NOISE = 0.35
NOISE_A_REP = 0.04
CURVE_ENDS = 10  # beyond, curves part (formulas by a quarter at fifteen), and a set says little
NOISE_BEYOND = 0.2
TIRED_NOISE = 0.3  # of the repetitions lost so far: rests are not what was prescribed
PULLS = frozenset({Exercise.PULL_UP, *GRIPS})
LEAST_SYSTEM_G = 5_000.0


@dataclass(frozen=True, slots=True)
class Load:
    """What one set asks of the body."""

    exercise: Exercise
    added_g: int
    bands: tuple[str, ...]


def family(exercise: Exercise) -> frozenset[Exercise]:
    """Exercises that share an estimate: the grips of the pull-up; a dip stands alone."""
    return PULLS if exercise in PULLS else frozenset({exercise})


def met(state: State, load: Load, profile: Profile) -> State:
    """The state with the grip and the bands of the load among its quantities."""
    if load.exercise in GRIPS and grip_name(load.exercise) not in state.names:
        state = state.with_quantity(grip_name(load.exercise), *GRIPS[load.exercise])
    for label in load.bands:
        band = profile.band(label)
        if band is not None and band_name(label) not in state.names:
            state = state.with_quantity(band_name(label), 0.0, max(band.spread, LEAST_BAND_SPREAD))
    return state


def grip_name(exercise: Exercise) -> str:
    return f"grip {exercise.value}"


def band_name(label: str) -> str:
    return f"band {label}"


def system_g(state: State, load: Load, profile: Profile, mass_g: int) -> float:
    """Body + added - mean assistance at the believed pulls, in grams; never under a floor of 5 kg."""
    return max(mass_g + load.added_g - sum(_pulls(state, load, profile).values()), LEAST_SYSTEM_G)


def _pulls(state: State, load: Load, profile: Profile) -> dict[str, float]:
    found: dict[str, float] = {}
    for label in load.bands:
        band = profile.band(label)
        if band is not None:
            factor = state.mean[state.at(band_name(label))] if band_name(label) in state.names else 0.0
            found[label] = band.pull_g * math.exp(factor)
    return found


def view(state: State, load: Load, profile: Profile, mass_g: int) -> tuple[Floats, float]:
    """Rows (2, n) for fresh margin and bias, and the offset of the margin, linear around the mean."""
    rows = np.zeros((2, len(state.names)))
    worth = worth_of_one(math.exp(state.mean[CURVE]))
    rows[0, STRENGTH], rows[0, FORM] = 1.0, worth
    rows[1, BIAS] = 1.0
    weight = system_g(state, load, profile, mass_g)
    for label, pull in _pulls(state, load, profile).items():
        rows[0, state.at(band_name(label))] = pull / weight
    exact = state.mean[STRENGTH] + state.mean[FORM] * worth - math.log(weight)
    if load.exercise in GRIPS:
        place = state.at(grip_name(load.exercise))
        rows[0, place], exact = 1.0, exact + state.mean[place]
    return rows, float(exact - rows[0] @ state.mean)


def worth_of_one(k: float) -> float:
    """What one repetition is worth near six, in log load."""
    return k / (1 + (PIVOT - 1) * k)


def noise(lost: Floats, possible: Floats) -> Floats:
    """How far the repetitions of a set scatter around what the belief makes of them, 1 SD; elementwise."""
    reps = np.maximum(possible, 1.0)
    own = SET_NOISE + NOISE_A_REP * reps + NOISE_BEYOND * np.maximum(reps - CURVE_ENDS, 0.0)
    return np.asarray(np.hypot(own, TIRED_NOISE * lost * reps))
