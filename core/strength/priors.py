"""What we believe of somebody before the first set, each number with its source.

Strength is the natural logarithm of the system one-repetition maximum in grams (body + added - assistance).
Spreads are standard deviations; those of logarithms read as fractions (.15 is about 15 %).
"""

import math
from bisect import bisect_right
from dataclasses import dataclass
from datetime import date
from itertools import chain
from typing import Literal

from core.training import BodyMass, Exercise

Sex = Literal["female", "male"] | None

# Repetitions at 80 % of the pull-up 1RM: men 8.1 +- 1.9, women 10.5 +- 2.2 (Johnson et al. 2009, JSCR 23(3)).
CURVE = {"male": 0.0352, "female": 0.0263, None: 0.0320}
CURVE_SPREAD = 0.30  # ln(.048/.028)/2 = .27 for the men's +-1 SD, and a little for women and for other curves

# No curve is anybody's own: published formulas part by 5.8 % at five repetitions. Added to every stated 1RM.
MODEL_SPREAD = 0.01

# 1RM / body mass: men 1.16 +- .15, women .73 +- .09 (Johnson 2009); trained men 1.50 +- .34
# (Munoz-Lopez et al. 2017, IJSPP). Those who ask for a coach come from all of these, hence the wide spread.
RATIO = {"male": 1.25, "female": 0.90, None: 1.10}
RATIO_SPREAD = {"male": 0.28, "female": 0.32, None: 0.32}
BAND_OWNER = 0.9  # on the ratio: who has bands in the kit more often needs them; practice
DIP_RATIO = 1.12  # a dip 1RM over a pull-up 1RM; practice, wide
DIP_SPREAD = 0.15

# Body mass where nobody ever said one: stated to the athlete as an assumption.
ASSUMED_MASS_G = {"male": 78_000, "female": 64_000, None: 72_000}
ASSUMED_MASS_SPREAD = 0.16

# People say too few in reserve by .95 repetitions, 95 % .17-1.73 (Halperin et al. 2022, Sports Med 52).
BIAS = 0.95
BIAS_SPREAD = 0.7

# Against pull-ups with the front grip; practice, kept wide so that a mixed log decides.
GRIPS = {
    Exercise.CHIN_UP: (0.02, 0.05),
    Exercise.NEUTRAL_GRIP_PULL_UP: (0.02, 0.05),
    Exercise.WIDE_GRIP_PULL_UP: (-0.05, 0.05),
}
# A band pulls otherwise than read when foot, hitch or bar change, and bands of one grade differ in tension by 8-19 %
# (McMaster, Cronin, McGuigan 2010, JSCR 24(8)); so a reading is never trusted closer than this.
LEAST_BAND_SPREAD = 0.10
TIRING_SPREAD = 0.5  # ln of one's own loss over the mean loss within a session

MASS_RANGE_G = (25_000, 300_000)  # outside, a weighing is a slip of the pen


@dataclass(frozen=True, slots=True)
class BandReading:
    """A band of the kit: its mean pull over the repetition in grams, and the relative spread (1 SD)."""

    label: str
    pull_g: float
    spread: float


@dataclass(frozen=True, slots=True)
class Profile:
    """What is known of an athlete besides the sessions. `masses` in any order; kept in that of the days."""

    masses: tuple[BodyMass, ...] = ()
    sex: Sex = None
    born: date | None = None
    bands: tuple[BandReading, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "masses", tuple(sorted(self.masses, key=lambda one: one.day)))

    def band(self, label: str) -> BandReading | None:
        return next((band for band in self.bands if band.label == label), None)


def usual_one_rm(profile: Profile, mass_g: int) -> tuple[float, float]:
    """ln of the system 1RM in grams before any set, and its spread; force goes with mass^.67, so the ratio to body
    mass falls with mass^-.33 (Markovic & Jaric 2004, EJAP 92:139-149)."""
    ratio = RATIO[profile.sex] * (BAND_OWNER if profile.bands else 1.0)
    lighter = (mass_g / ASSUMED_MASS_G[profile.sex]) ** (-1 / 3)
    return math.log(mass_g * ratio * lighter), RATIO_SPREAD[profile.sex]


@dataclass(frozen=True, slots=True)
class Mass:
    """The body mass reckoned with on a day: grams, its relative spread, and whether it is our assumption."""

    mass_g: int
    spread: float
    assumed: bool


def mass_on(profile: Profile, day: date) -> Mass:
    """The last weighing up to `day`, held; before the first, the first; with none, the stated assumption.

    Held and not interpolated: a later weighing never changes what an earlier session meant, so that
    appending to an estimate gives the same as starting over.
    """
    after = bisect_right(profile.masses, day, key=lambda one: one.day)
    backward = (profile.masses[place] for place in range(after - 1, -1, -1))
    onward = (profile.masses[place] for place in range(after, len(profile.masses)))
    held = next((one for one in chain(backward, onward) if possible_mass(one)), None)
    if held is None:
        return Mass(ASSUMED_MASS_G[profile.sex], ASSUMED_MASS_SPREAD, assumed=True)
    stale = abs((day - held.day).days)
    return Mass(held.mass_g, min(0.004 + 0.0015 * math.sqrt(stale), 0.04), assumed=False)


def possible_mass(weighing: BodyMass) -> bool:
    low, high = MASS_RANGE_G
    return low <= weighing.mass_g <= high
