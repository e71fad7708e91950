"""Session-RPE load, monotony and strain; growth in the logarithm of time."""

import math
import statistics
from datetime import date

import pytest

from core.strength import Profile, belief
from core.strength.load import session_load, week_load
from core.training import BodyMass


def test_the_load_of_a_session() -> None:
    """RPE x minutes: 7 x 60 = 420 (Foster et al. 2001, JSCR 15:109-115)."""
    assert session_load(7, 60) == 420


def test_monotony_and_strain_of_a_week() -> None:
    """420, 0, 360, 0, 480, 0, 0: monotony .856 with the population SD, which is ours (.792 with the sample SD), strain
    1078.4 (algebra)."""
    days = [420, 0, 360, 0, 480, 0, 0]
    week = week_load(days)
    assert week.monotony == pytest.approx(0.856, abs=0.001)
    assert week.strain == pytest.approx(1078.4, abs=0.1)
    assert statistics.mean(days) / statistics.stdev(days) == pytest.approx(0.792, abs=0.001)


@pytest.mark.parametrize("days", [[300.0] * 7, [0.0] * 7, [0.1] * 7, [], [300.0]])
def test_a_week_of_equal_days_has_no_monotony_and_does_not_crash(days: list[float]) -> None:
    week = week_load(days)
    assert (week.monotony, week.strain) == (None, None)
    assert week.total == pytest.approx(sum(days))


def grown(week: float, first_year: float) -> float:
    """Gain by `week`, linear in ln time (Steele et al. 2022, RQES, 14,690 people)."""
    return first_year * math.log1p(week) / math.log1p(52)


@pytest.mark.parametrize(("week", "percent"), [(4, 12.2), (12, 19.4), (26, 24.9), (52, 30.0)])
def test_growth_in_the_logarithm_of_time(week: int, percent: float) -> None:
    """30 % in the first year (algebra, +-.1)."""
    assert 100 * grown(week, 0.30) == pytest.approx(percent, abs=0.1)


@pytest.mark.parametrize(("since", "until"), [(12, 26), (26, 52)])
def test_the_pace_expected_before_the_first_session_holds_the_published_one(since: int, until: int) -> None:
    """Past the first weeks of a beginner, whose pace the sessions themselves must show."""
    now = belief(None, date(2026, 5, 4), Profile((BodyMass(date(2026, 5, 4), 70_000),)))
    _, low, high = now.trend()
    pace = (math.log1p(grown(until, 0.30)) - math.log1p(grown(since, 0.30))) / (until - since)
    assert low < pace < high
