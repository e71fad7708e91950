"""Masses in and out. Factor: 1 lb = 0.45359237 kg exactly (NIST Handbook 44, appendix C)."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.units import Unit, amount, grams, half_steps


@pytest.mark.parametrize(
    ("pounds", "expected_g"),
    [("2.5", 1134), ("5", 2268), ("10", 4536), ("25", 11340), ("35", 15876), ("45", 20412)],
)
def test_pound_plates_in_grams(pounds: str, expected_g: int) -> None:
    assert grams(pounds, Unit.LB) == expected_g


@given(st.integers(0, 200_000))
def test_kilograms_are_exact(mass_g: int) -> None:
    assert grams(amount(mass_g, Unit.KG), Unit.KG) == mass_g


@given(st.integers(0, 200_000))
def test_pounds_hold_to_the_displayed_step(mass_g: int) -> None:
    assert abs(grams(amount(mass_g, Unit.LB), Unit.LB) - mass_g) <= 3


def test_shown_without_trailing_zeros_or_exponent() -> None:
    assert [str(amount(g, Unit.KG)) for g in (7500, 10_000, 0, 1250)] == ["7.5", "10", "0", "1.25"]


def test_half_a_gram_rounds_to_even() -> None:
    assert (grams(Decimal("0.0005"), Unit.KG), grams(Decimal("0.0015"), Unit.KG)) == (0, 2)


def test_ratings_go_to_the_nearest_half_a_tie_upward() -> None:
    assert [half_steps(Decimal(r)) for r in ("8.3", "8.25", "8.2", "8")] == [8.5, 8.5, 8.0, 8.0]
