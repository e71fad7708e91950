"""What rest gives back, and how session loads add up."""

from datetime import date

import numpy as np
import pytest

from core.strength import Profile, belief, priors
from core.strength.curve import margin_for, reps_at
from core.strength.fatigue import Tired
from core.training import BodyMass

MEN = priors.CURVE["male"]


def kept(rest_s: float, sets: int = 3, first: float = 10.0) -> float:
    """Repetitions of `sets` sets to failure at the first one's load, over as many times the first."""
    k = np.array([MEN])
    fresh, tired, done = float(margin_for(first, k)[0]), Tired(), []
    for _ in range(sets):
        margin = fresh - tired.loss
        reps = float(reps_at(np.array([margin]), k)[0])
        done.append(reps)
        tired = tired.after(round(reps), margin, MEN).rested(rest_s)
    return sum(done) / (sets * first)


@pytest.mark.parametrize(("minutes", "published"), [(2, 0.79), (5, 0.93)])
def test_three_sets_of_ten(minutes: int, published: float) -> None:
    """Senna et al. 2009, JSSM 8:197-202: three sets of 10RM keep .79 at 2 min and .93 at 5 min (+-.05)."""
    assert kept(60 * minutes) == pytest.approx(published, abs=0.05)


def test_more_rest_keeps_more() -> None:
    found = [kept(seconds) for seconds in (30, 60, 120, 180, 300, 600)]
    assert found == sorted(found)
    assert found[0] < 0.65


def test_a_set_to_failure_takes_the_capacity_down_to_the_load() -> None:
    k = np.array([MEN])
    for reps in (1, 3, 6, 12):
        fresh = float(margin_for(reps, k)[0])
        left = fresh - Tired().after(reps, fresh, MEN).loss
        assert float(reps_at(np.array([left]), k)[0]) < 1.0


def test_a_fresh_man_of_average_strength_does_four_to_seven_free() -> None:
    """1RM of 1.16 x body mass is 5.5 free repetitions; 4 to 7 accepted (algebra on Johnson 2009)."""
    assert 4 <= 1 + 0.16 / MEN <= 7
    now = belief(None, date(2026, 5, 4), Profile((BodyMass(date(2026, 5, 4), 80_000),), "male"))
    low, high = now.one_rm()[1:]
    assert low < 1.16 * 80_000 < high
