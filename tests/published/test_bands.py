"""Rubber bands against measurements of others. Each source beside its check."""

import pytest

from core.bands import GRAMS_PER_NEWTON, Rubber, fit, force, pull_of, rubber_of
from core.change_over import change_over
from core.kit import Band, HangTest, Hitch, Kit, Make, Plate, Reach, Readings

KGF_PER_CM2 = 0.0980665  # in MPa, exact
NEWTON_PER_POUND = 0.45359237 * 9.80665  # exact

# L. R. G. Treloar, "Stress-strain data for vulcanised rubber under various types of deformation", 1944: natural
# rubber in simple extension, (stretch ratio, nominal stress in kgf/cm2).
TRELOAR = (
    (1.02, 0.26), (1.125, 1.37), (1.24, 2.30), (1.39, 3.23), (1.585, 4.16),
    (1.90, 5.10), (2.18, 6.00), (2.42, 6.90), (3.02, 8.80),
)  # fmt: skip
WORKING = [(stretch, stress * KGF_PER_CM2) for stretch, stress in TRELOAR if 1.1 <= stretch <= 2.5]

# A hang test of one 41-inch loop in pounds and inches, published by a seller's customer, not peer reviewed: hitched
# once it is 33.0 in long at rest, hitched twice 27.0; (rest, load, how much longer it got).
HANG_TEST = ((33.0, 67.5, 15.25), (27.0, 67.5, 12.5), (33.0, 92.5, 27.5), (27.0, 92.5, 22.5), (27.0, 102.5, 28.0))
HUNG = [(1 + longer / rest, pounds * NEWTON_PER_POUND) for rest, pounds, longer in HANG_TEST]


def test_natural_rubber_over_the_working_range() -> None:
    """Treloar 1944; the constants and the errors of the fit by algebra on his data."""
    c1, c2 = fit(WORKING)
    assert (c1, c2) == (pytest.approx(0.1044, abs=0.001), pytest.approx(0.1037, abs=0.001))
    assert all(abs(force(stretch, c1, c2) / stress - 1) <= 0.033 for stretch, stress in WORKING)


def test_without_the_second_constant_the_fit_is_bad() -> None:
    """Neo-Hooke on the same data: G = 2 C1 = .312 MPa, and 22 % too low at 1.125."""
    units = [(force(stretch, 1, 0), stress) for stretch, stress in WORKING]
    c1 = sum(unit * stress for unit, stress in units) / sum(unit * unit for unit, _ in units)
    assert 2 * c1 == pytest.approx(0.312, abs=0.001)
    stretch, stress = WORKING[0]
    assert force(stretch, c1, 0) / stress - 1 == pytest.approx(-0.22, abs=0.005)


@pytest.mark.parametrize(
    ("stretch", "share"),
    [(1.25, 0.418), (1.5, 0.670), (1.75, 0.852), (2.25, 1.129), (2.5, 1.248), (3.0, 1.467)],
)
def test_shape_of_the_curve(stretch: float, share: float) -> None:
    """By algebra on the law with C2 = C1, over the force at twice the rest length."""
    assert force(stretch, 1, 1) / force(2, 1, 1) == pytest.approx(share, abs=0.001)


def test_never_linear() -> None:
    """Several sellers' tables: at half the elongation .60-.70 of the force at 100 %, at twice it 1.35-1.65."""
    whole = force(2, *fit(WORKING))
    assert 0.60 <= force(1.5, *fit(WORKING)) / whole <= 0.70
    assert 1.35 <= force(3, *fit(WORKING)) / whole <= 1.65


def test_one_loop_hitched_once_and_twice() -> None:
    """The hang test: the same load gives the same stretch ratio however it is hitched, and one law fits all."""
    assert HUNG[0][0] == pytest.approx(HUNG[1][0], rel=0.002)
    assert HUNG[2][0] == pytest.approx(HUNG[3][0], rel=0.002)
    ac1, ac2 = fit(HUNG)
    assert (ac1, ac2) == (pytest.approx(66.2, abs=0.5), pytest.approx(123.9, abs=0.5))
    expected = ((1.5, 314), (2.0, 449), (2.25, 498))
    assert all(force(stretch, ac1, ac2) == pytest.approx(newton, abs=1) for stretch, newton in expected)
    assert all(force(stretch, ac1, ac2) == pytest.approx(newton, rel=0.0015) for stretch, newton in HUNG)


def test_the_hang_test_as_a_kit_would_have_it() -> None:
    """The same loads and lengths by way of the kit: 92.5 lb again at the length where it was hung."""
    inch_um, pound_g = 25_400, 453.59237
    points = tuple(
        (round(load * pound_g), round((33 + longer) * inch_um)) for load, longer in ((67.5, 15.25), (92.5, 27.5))
    )
    band = Band("grey", HangTest(33 * inch_um, points))
    pull = pull_of(band, Reach(points[1][1], points[1][1], points[1][1] - points[0][1]))
    assert pull.hang_g == pytest.approx(points[1][0], rel=0.001)
    assert pull.top_g == pytest.approx(points[0][0], rel=0.001)
    assert pull.top_g < pull.mean_g < pull.hang_g


def test_bands_of_one_grade_differ() -> None:
    """McMaster, Cronin, McGuigan 2010 (JSCR 24(8)): one grade differs by 8-19 % in tension; our spread lies there."""
    assert 0.08 <= pull_of(Band("made", Make(1_040_000, 32_000, 4_500)), Reach()).spread <= 0.19
    assert pull_of(Band("read", Readings(24_000, 12_000)), Reach()).spread == 0.05


def test_stiffness_falls_with_rest_length() -> None:
    """Algebra: the same rubber twice as long needs twice the way for the same force."""
    short, long = Rubber(500_000, 40, 40), Rubber(1_000_000, 40, 40)
    assert short.pull_n(750_000 / short.rest_um) == long.pull_n(1_500_000 / long.rest_um)
    band = rubber_of(Band("made", Make(1_040_000, 32_000, 4_500)))
    assert band is not None
    assert band.pull_n(2) == pytest.approx(2 * 32 * 4.5 * force(2, 0.1044, 0.1037))
    assert pytest.approx(101.97, abs=0.01) == GRAMS_PER_NEWTON


@pytest.mark.parametrize(
    ("hitch", "inches", "low", "high"), [(Hitch.ONCE, 33.0, 0.79, 0.80), (Hitch.TWICE, 27.0, 0.61, 0.66)]
)
def test_usable_slack_after_a_hitch(hitch: Hitch, inches: float, low: float, high: float) -> None:
    """Several users: a hitch leaves .79-.80 of the loop, two .61-.66; the 41-inch loop above within 4 % of ours."""
    share = Band("made", Make(1_000_000, 32_000, 4_500), hitch=hitch).slack_um / 1_000_000
    assert low <= share <= high
    assert share == pytest.approx(inches / 41, rel=0.04)


def test_equal_means_are_not_equal_ends() -> None:
    """By algebra on the two readings: 24/12 kg with 6 kg on the belt against 16/8 kg without."""
    bands = (Band("strong", Readings(24_000, 12_000)), Band("light", Readings(16_000, 8_000)))
    change = change_over(Kit(pieces=(Plate(6000),), bands=bands), ("strong",), 6000)
    assert change is not None
    assert (change.after.bands, change.after_added_g) == (("light",), 0)
    assert (change.hang_g, change.mean_g, change.top_g) == (2000, 0, -2000)
