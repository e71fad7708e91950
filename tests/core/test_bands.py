"""Bands: laws of the pull, and what each way of knowing a band gives."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.bands import Pull, Rubber, fit, force, pull_of, pulls_of, rubber_of
from core.kit import Band, Guess, HangTest, Hitch, Kit, Make, Reach, Readings, Support, kit_from_toml
from core.problems import BadInput

constants = st.floats(1, 200)
stretches = st.floats(1.02, 3.5)
LOOP = Make(1_040_000, 32_000, 4_500)


@given(constants, constants, stretches, stretches)
def test_more_stretch_more_pull(ac1: float, ac2: float, one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert force(low, ac1, ac2) <= force(high, ac1, ac2)
    assert force(0.9, ac1, ac2) == force(1, ac1, ac2) == 0


@given(constants, constants, stretches, stretches)
def test_two_bands_add(ac1: float, ac2: float, other: float, stretch: float) -> None:
    both = force(stretch, ac1, ac2) + force(stretch, other, ac1)
    assert both == pytest.approx(force(stretch, ac1 + other, ac2 + ac1))


@given(constants, constants, st.floats(0.5, 3.5), st.floats(0.5, 3.5))
def test_the_mean_is_the_integral(ac1: float, ac2: float, one: float, other: float) -> None:
    """Against a plain sum over 4,000 strips; slack parts of the way count as no pull."""
    low, high = sorted((one, other))
    if high - low < 0.01:
        return
    strips = [low + (high - low) * (number + 0.5) / 4000 for number in range(4000)]
    mean = sum(force(stretch, ac1, ac2) for stretch in strips) / 4000
    assert Rubber(1, ac1, ac2).mean_n(high, low) == pytest.approx(mean, rel=1e-4, abs=1e-3)


@given(constants, constants, st.lists(stretches, min_size=2, max_size=6, unique_by=lambda s: round(s, 1)))
def test_a_fit_gives_back_what_made_the_readings(ac1: float, ac2: float, at: list[float]) -> None:
    found = fit([(stretch, force(stretch, ac1, ac2)) for stretch in at])
    assert all(force(s, *found) == pytest.approx(force(s, ac1, ac2), rel=1e-3) for s in at)


@given(st.lists(st.tuples(stretches, st.floats(1, 2000)), min_size=1, max_size=6))
def test_no_reading_makes_rubber_that_pushes(readings: list[tuple[float, float]]) -> None:
    c1, c2 = fit(readings)
    assert c1 >= 0
    assert c2 >= 0
    assert c1 + c2 > 0


def test_two_readings_are_taken_as_they_are() -> None:
    assert pull_of(Band("amber", Readings(24_000, 12_000)), Reach()) == Pull("amber", 24_000, 18_000, 12_000, 0.05)


def test_a_guess_is_wide() -> None:
    pull = pull_of(Band("loan", Guess(15_000)), Reach())
    assert (pull.mean_g, pull.spread) == (15_000, 0.3)
    assert pull.top_g + pull.hang_g == pytest.approx(30_000)


def test_one_hung_mass_fixes_less_than_two() -> None:
    one = HangTest(838_000, ((30_600, 1_226_000),))
    two = HangTest(838_000, ((30_600, 1_226_000), (42_000, 1_537_000)))
    assert pull_of(Band("a", one), Reach()).spread > pull_of(Band("a", two), Reach()).spread


def test_set_ups_of_one_loop() -> None:
    """The shorter the loop is hitched, the harder it pulls; from the knee it pulls less; taller people get more."""
    pulls = [pull_of(Band("a", LOOP, hitch=hitch), Reach()).mean_g for hitch in (Hitch.OPEN, Hitch.ONCE, Hitch.TWICE)]
    assert pulls == sorted(pulls)
    fold = pull_of(Band("a", LOOP, hitch=Hitch.FOLD), Reach())
    assert fold.mean_g > 2 * pulls[0]
    assert pull_of(Band("a", LOOP, support=Support.KNEE), Reach()).mean_g < pulls[1]
    assert pull_of(Band("a", LOOP), Reach(foot_um=2_250_000)).mean_g > pulls[1]


def test_a_fold_has_twice_the_strands() -> None:
    fold, single = (rubber_of(Band("a", LOOP, hitch=hitch)) for hitch in (Hitch.FOLD, Hitch.OPEN))
    assert fold is not None
    assert single is not None
    assert fold.pull_n(2) == pytest.approx(2 * single.pull_n(2))
    assert fold.rest_um * 2 == single.rest_um


def test_help_falls_on_the_way_up() -> None:
    pull = pull_of(Band("a", LOOP), Reach())
    assert pull.hang_g > pull.mean_g > pull.top_g > 0


def test_a_kit_by_label() -> None:
    kit = Kit(bands=(Band("a", Guess(9000)), Band("b", Readings(20_000, 8000))))
    assert {label: pull.mean_g for label, pull in pulls_of(kit).items()} == {"a": 9000, "b": 14_000}


def test_a_band_that_is_slack_at_the_hang_is_refused() -> None:
    text = '[[band]]\nlabel = "rope"\nrest_length_cm = 300\nwidth_mm = 20\nthickness_mm = 4'
    with pytest.raises(BadInput, match="slack even at the dead hang"):
        kit_from_toml(text)
    assert kit_from_toml(text.replace("300", "200"))
