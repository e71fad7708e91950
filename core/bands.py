"""How hard a band pulls: Mooney-Rivlin rubber in the stretch ratio, from what is known of the band.

Pull of a band stretched to `stretch` times its rest length: 2 A (s - s^-2)(C1 + C2/s), A the unstretched area of all
strands; nothing while slack. Forces in newtons inside, pulls in grams (the mass that weighs as much) outside.
Spreads are one standard deviation over the pull; an 80 % interval is +-1.2816 of them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import assert_never

from core.kit import Band, Guess, HangTest, Hitch, Kit, Make, Reach, Readings, Support

GRAMS_PER_NEWTON = 1000 / 9.80665
Z80 = 1.2816  # standard deviations on either side of an 80 % interval

# Natural rubber, fitted to Treloar 1944 (tests/published); in MPa, that is newtons per square millimetre.
C1, C2 = 0.1044, 0.1037

# Bands of one grade differ in tension by 8-19 % (McMaster, Cronin, McGuigan 2010, JSCR 24(8)): .15 until calibrated.
SPREAD_CALIBRATED = 0.05
SPREAD_ONE_MASS = 0.08  # one hung mass fixes the scale and not the shape; practice
SPREAD_MAKE = 0.15
SPREAD_GUESS = 0.30  # practice

GUESSED_HANG = 4 / 3  # pull at the dead hang over the mean, where only the mean is guessed; on top 2/3; practice
MOST_STRETCH = 3.0  # beyond it a loop wears and may tear; practice


@dataclass(frozen=True, slots=True)
class Rubber:
    """A band as set up: rest length in micrometres, and A C1, A C2 in newtons."""

    rest_um: int
    ac1_n: float
    ac2_n: float

    def pull_n(self, stretch: float) -> float:
        return force(stretch, self.ac1_n, self.ac2_n)

    def mean_n(self, longest: float, shortest: float) -> float:
        """Mean over the way from one stretch to the other; a slack part of the way counts as no pull."""
        if longest <= shortest:
            return self.pull_n(longest)
        work = self._work(max(longest, 1.0)) - self._work(max(shortest, 1.0))
        return work / (longest - shortest)

    def _work(self, stretch: float) -> float:
        return 2 * (self.ac1_n * (stretch**2 / 2 + 1 / stretch) + self.ac2_n * (stretch + 1 / (2 * stretch**2)))


@dataclass(frozen=True, slots=True)
class Pull:
    """A band's help in grams at the dead hang, over the way, and with the chin over the bar; `spread` of it all.

    `stretch`: the ratio at the dead hang, None where lengths are unknown.
    """

    label: str
    hang_g: float
    mean_g: float
    top_g: float
    spread: float
    stretch: float | None = None


def force(stretch: float, c1: float, c2: float) -> float:
    """Mooney-Rivlin: stress for the constants of the rubber, force for those times the area."""
    if stretch <= 1:
        return 0.0
    return 2 * (stretch - stretch**-2) * (c1 + c2 / stretch)


def fit(readings: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """The constants that fit (stretch, force) with the least sum of squared errors, neither below 0.

    One reading alone fixes the scale, with C2 = C1 as natural rubber has them nearly.
    """
    rows = [(force(stretch, 1, 0), force(stretch, 0, 1), pull) for stretch, pull in readings]
    aa, ab, bb = (sum(row[i] * row[j] for row in rows) for i, j in ((0, 0), (0, 1), (1, 1)))
    ap, bp = (sum(row[i] * row[2] for row in rows) for i in (0, 1))
    if len(readings) == 1:
        return (rows[0][2] / (rows[0][0] + rows[0][1]),) * 2
    determinant = aa * bb - ab * ab
    if determinant > 1e-12 * aa * bb:
        c1, c2 = (bb * ap - ab * bp) / determinant, (aa * bp - ab * ap) / determinant
        if c1 >= 0 and c2 >= 0:
            return c1, c2
    alone = (ap / aa, 0.0), (0.0, bp / bb)
    return min(alone, key=lambda c: sum((c[0] * a + c[1] * b - pull) ** 2 for a, b, pull in rows))


def rubber_of(band: Band) -> Rubber | None:
    """The rubber of a band whose lengths are known."""
    match band.known:
        case HangTest(rest_um, points):
            readings = [(length / rest_um, mass / GRAMS_PER_NEWTON) for mass, length in points]
            return Rubber(rest_um, *fit(readings))
        case Make(_, width, thickness):
            strands = 4 if band.hitch is Hitch.FOLD else 2
            area_mm2 = strands * width * thickness / 1e6
            return Rubber(band.slack_um, area_mm2 * C1, area_mm2 * C2)
        case Readings() | Guess():
            return None
    assert_never(band.known)


def pull_of(band: Band, reach: Reach) -> Pull:
    """The band's help to an athlete of this reach."""
    match band.known:
        case Readings(hang, top):
            return Pull(band.label, hang, (hang + top) / 2, top, SPREAD_CALIBRATED)
        case Guess(mean):
            return Pull(band.label, mean * GUESSED_HANG, mean, mean * (2 - GUESSED_HANG), SPREAD_GUESS)
        case HangTest(_, points):
            return _measured(band, reach, SPREAD_CALIBRATED if len(points) > 1 else SPREAD_ONE_MASS)
        case Make():
            return _measured(band, reach, SPREAD_MAKE)
    assert_never(band.known)


def pulls_of(kit: Kit) -> dict[str, Pull]:
    """Every band of the kit by its label."""
    return {band.label: pull_of(band, kit.reach) for band in kit.bands}


def _measured(band: Band, reach: Reach, spread: float) -> Pull:
    rubber = rubber_of(band)
    assert rubber is not None
    hang_um = reach.foot_um if band.support is Support.FOOT else reach.knee_um
    longest, shortest = hang_um / rubber.rest_um, (hang_um - reach.pull_um) / rubber.rest_um
    forces = rubber.pull_n(longest), rubber.mean_n(longest, shortest), rubber.pull_n(shortest)
    hang, mean, top = (newtons * GRAMS_PER_NEWTON for newtons in forces)
    return Pull(band.label, hang, mean, top, spread, longest)
