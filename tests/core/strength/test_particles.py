"""The filter against an independent one on the same model: 60,000 particles and no approximation but chance.

Tolerance: the filter is Gaussian and lets the curve learn at a third of its pace on purpose, so medians may part
by .45 of the particles' own spread and spreads by a quarter (measured: .29 and 12 %); a filter with a wrong sign or
scale is far outside.
"""

from datetime import date, timedelta

import numpy as np
import pytest

from core.strength import Profile, belief, estimate
from core.strength.priors import mass_on
from core.training import BodyMass, PrescribedSet, Session, Set
from tests.core.strength.particles import filtered

MASS_G = 80_000
START = date(2026, 3, 2)
PROFILE = Profile((BodyMass(START, MASS_G),), "male")
Z80 = 1.2816


def history(records: list[tuple[Set, ...]], open_last: bool) -> list[Session]:
    return [
        Session(
            str(turn),
            START + timedelta(days=3 * turn),
            record,
            tuple(PrescribedSet(5, one.added_g or 0, amrap=open_last and one is record[-1]) for one in record),
        )
        for turn, record in enumerate(records)
    ]


RATED = [(Set(5, 10_000), Set(5, 10_000, rpe=8.0), Set(5, 10_000, rpe=rpe)) for rpe in (8.0, 9.0, 9.0, 8.5, 9.0, 10.0)]
FAILED = [(Set(5, 20_000), Set(5, 20_000), Set(reps, 20_000, failed=True)) for reps in (4, 3, 4, 4, 3, 4)]
OPEN = [(Set(5, 5_000), Set(5, 5_000), Set(reps, 5_000)) for reps in (7, 8, 6, 7, 8, 7)]


@pytest.mark.parametrize(
    ("records", "open_last"), [(RATED, False), (FAILED, False), (OPEN, True)], ids=["rated", "failed", "open"]
)
def test_medians_and_spreads_agree(records: list[tuple[Set, ...]], open_last: bool) -> None:
    sessions = history(records, open_last)
    spreads = [mass_on(PROFILE, one.day).spread for one in sessions]
    clouds = filtered(sessions, MASS_G, spreads, 60_000, seed=1)
    for turn in (1, 3, 5):
        exact = clouds[turn].one_rm()
        checkpoint = estimate(None, sessions[: turn + 1], PROFILE)
        median, low, high = belief(checkpoint, sessions[turn].day, PROFILE).one_rm()
        assert abs(np.log(median) - exact.mean()) < 0.45 * exact.std()
        assert 0.8 < (np.log(high / low) / (2 * Z80)) / exact.std() < 1.25
