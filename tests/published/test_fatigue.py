"""What rest gives back, and how session loads add up."""

from datetime import date

import pytest

from core.strength import Profile, belief, priors
from core.strength.fatigue import Tired, kept
from core.training import BodyMass

MEN = priors.CURVE["male"]


def remaining(rest_s: float, sets: int = 3, first: float = 10.0) -> float:
    """Repetitions of `sets` sets to failure at the first one's load, over as many times the first."""
    tired, done = Tired(), []
    for _ in range(sets):
        done.append(first * kept(tired.lost, 1.0))
        tired = tired.after(round(done[-1]), done[-1]).rested(rest_s)
    return sum(done) / (sets * first)


@pytest.mark.parametrize(("minutes", "published"), [(2, 0.79), (5, 0.93)])
def test_three_sets_of_ten(minutes: int, published: float) -> None:
    """Senna et al. 2009, JSSM 8:197-202: three sets of 10RM keep .79 at 2 min and .93 at 5 min (+-.05)."""
    assert remaining(60 * minutes) == pytest.approx(published, abs=0.05)


def test_more_rest_keeps_more() -> None:
    found = [remaining(seconds) for seconds in (30, 60, 120, 180, 300, 600)]
    assert found == sorted(found)
    assert found[0] < 0.65


def test_a_set_to_failure_takes_all_and_an_easy_one_little() -> None:
    assert kept(Tired().after(10, 10.0).lost, 1.0) == pytest.approx(0.15)  # as much as is ever taken
    assert Tired().after(5, 15.0).lost < 0.2
    assert Tired().after(12, 10.0).lost == Tired().after(10, 10.0).lost


def test_a_fresh_man_of_average_strength_does_four_to_seven_free() -> None:
    """1RM of 1.16 x body mass is 5.5 free repetitions; 4 to 7 accepted (algebra on Johnson 2009)."""
    assert 4 <= 1 + 0.16 / MEN <= 7
    now = belief(None, date(2026, 5, 4), Profile((BodyMass(date(2026, 5, 4), 80_000),), "male"))
    low, high = now.one_rm()[1:]
    assert low < 1.16 * 80_000 < high
