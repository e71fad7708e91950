"""A set seen from the state: which quantities its load, grip and bands touch."""

import math
from dataclasses import dataclass

import numpy as np

from core.strength.curve import Floats
from core.strength.fatigue import Tired
from core.strength.priors import GRIPS, Profile
from core.strength.state import BIAS, CURVE, FORM, STRENGTH, TIRING, State
from core.training import Exercise

SET_NOISE = 0.018  # one set against the next at the same state; retest SEM .7 reps at 90 %, 1.1 at 70 %
TIRED_NOISE = 0.3  # of the loss so far: rests are not what was prescribed
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
            state = state.with_quantity(band_name(label), 0.0, band.spread)
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


def view(state: State, load: Load, profile: Profile, mass_g: int, tired: Tired) -> tuple[Floats, float]:
    """Rows (3, n) for margin, ln k and bias, and the offset of the margin, linear around the mean."""
    rows = np.zeros((3, len(state.names)))
    rows[0, [STRENGTH, FORM]] = 1.0
    rows[1, CURVE] = rows[2, BIAS] = 1.0
    loss = tired.loss * math.exp(state.mean[TIRING])
    rows[0, [TIRING, CURVE]] = -loss  # what a set takes is nearly proportional to k
    if load.exercise in GRIPS:
        rows[0, state.at(grip_name(load.exercise))] = 1.0
    weight = system_g(state, load, profile, mass_g)
    for label, pull in _pulls(state, load, profile).items():
        rows[0, state.at(band_name(label))] = pull / weight
    exact = state.mean[STRENGTH] + state.mean[FORM] - loss - math.log(weight)
    if load.exercise in GRIPS:
        exact += state.mean[state.at(grip_name(load.exercise))]
    return rows, float(exact - rows[0] @ state.mean)


def noise(tired: Tired) -> float:
    return math.hypot(SET_NOISE, TIRED_NOISE * tired.loss)
