"""The change between bands: the published numbers, the laws, and no flipping back and forth."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.change_over import change_ahead, change_over, change_overs, side_for, sides
from core.kit import Band, Belt, Kit, Plate, Readings
from core.language import render
from core.steps import COARSE
from core.units import Unit

STRONG = Band("amber", Readings(24_000, 12_000))
LIGHT = Band("slate", Readings(16_000, 8_000))
KIT = Kit(belt=Belt(4), pieces=(Plate(500, 2), Plate(1000, 2), Plate(2500, 2)), bands=(LIGHT, STRONG))
BODY_G = 70_000


def test_equal_means_are_not_equal_ends() -> None:
    """By algebra: 24/12 kg with 6 kg on the belt against 16/8 is 2 kg harder at the bottom, 2 easier on top."""
    change = change_over(KIT, ("amber",), 6000)
    assert change is not None
    assert (change.after.bands, change.after_added_g) == (("slate",), 0)
    assert (change.hang_g, change.mean_g, change.top_g) == (2000, 0, -2000)
    assert change.back.back == change
    assert (change.back.hang_g, change.back.top_g) == (-2000, 2000)
    assert change.to_json() == {
        "before": {"bands": ["amber"], "added_g": 6000},
        "after": {"bands": ["slate"], "added_g": 0},
        "hang_g": 2000,
        "mean_g": 0,
        "top_g": -2000,
        "reps_less": 1,
    }


def test_said_in_one_sentence() -> None:
    change = change_over(KIT, ("amber",), 6000)
    assert change is not None
    said = render(change.phrase(), "en", Unit.KG)
    assert said == (
        "From the band amber with 6 kg on the belt to the band slate without a belt: "
        "2 kg harder at the bottom, 2 kg easier on top."
    )
    for language, words in (("de", "unten"), ("es", "Abajo"), ("fr", "en bas")):
        assert words in render(change.phrase(), language, Unit.KG)


def test_what_is_over_stays_on_the_belt() -> None:
    change = change_over(KIT, ("amber",), 7000)
    assert change is not None
    assert (change.after_added_g, change.mean_g) == (1000, 0)
    last = change_over(KIT, ("slate",), 12_000)
    assert last is not None
    assert (last.after.bands, last.after_added_g, last.hang_g, last.top_g) == ((), 0, 4000, -4000)
    assert change_over(KIT, (), 5000) is None
    assert change_over(KIT, ("plum",), 5000) is None


def test_what_the_engine_believes_scales_both_ends() -> None:
    change = change_over(KIT, ("amber",), 3000, pulls={"amber": (15_000, 14_000, 16_000)})
    assert change is not None
    assert (change.before.hang_g, change.before.top_g, change.mean_g) == (20_000, 10_000, 0)


def test_pairs_only_above_the_strongest_band() -> None:
    weak = Band("plum", Readings(8000, 4000), count=2)
    kit = Kit(bands=(STRONG, weak))
    assert [side.bands for side in sides(kit)] == [("amber", "plum"), ("amber",), ("plum",), ()]


def test_the_side_leaves_room_for_the_belt() -> None:
    assert side_for(KIT, BODY_G, 50_000).bands == ("amber", "slate")
    wanted = {52_000: "amber", 57_900: "amber", 58_000: "slate", 69_900: "slate", 70_000: None}
    for wanted_g, label in wanted.items():
        assert side_for(KIT, BODY_G, wanted_g).bands == (() if label is None else (label,))


def test_over_at_the_point_back_a_coarse_step_below_it() -> None:
    back_g = 58_000 * (1 - COARSE)
    assert side_for(KIT, BODY_G, 57_900, ("amber",)).bands == ("amber",)
    assert side_for(KIT, BODY_G, 58_000, ("amber",)).bands == ("slate",)
    assert side_for(KIT, BODY_G, round(back_g) + 10, ("slate",)).bands == ("slate",)
    assert side_for(KIT, BODY_G, round(back_g) - 10, ("slate",)).bands == ("amber",)


@given(st.lists(st.integers(-700, 700), min_size=2, max_size=30), st.integers(50_000, 72_000))
def test_nobody_flips_back_and_forth(noise: list[int], start_g: int) -> None:
    """Around any level, wishes that differ by less than a coarse step change the band once at most."""
    current, changes = None, 0
    for less_g in noise:
        after = side_for(KIT, BODY_G, start_g + less_g, current).bands
        changes += current is not None and after != current
        current = after
    assert changes <= 1


def test_without_the_rule_it_would_flip() -> None:
    wishes = (57_900, 58_100) * 4
    assert len({side_for(KIT, BODY_G, wanted_g).bands for wanted_g in wishes}) == 2


@pytest.mark.parametrize(("wanted_g", "told"), [(57_500, False), (58_200, True)])
def test_announced_the_session_before(wanted_g: int, told: bool) -> None:
    change = change_ahead(KIT, BODY_G, (("amber",), 5500), wanted_g)
    assert (change is not None) is told
    if change is not None:
        assert (change.after.bands, change.after_added_g, change.mean_g) == (("slate",), 0, 500)


def test_more_help_is_no_change_over() -> None:
    assert change_ahead(KIT, BODY_G, (("slate",), 0), 51_000) is None
    assert change_ahead(KIT, BODY_G, (("plum",), 0), 51_000) is None


def test_every_change_on_the_way() -> None:
    changes = [(one.before.bands, one.before_added_g, one.after.bands, one.mean_g) for one in change_overs(KIT)]
    assert changes == [
        (("amber", "slate"), 7000, ("amber",), 5000),  # four pieces on the chain are 7 kg, of the 12 it would need
        (("amber",), 6000, ("slate",), 0),
        (("slate",), 7000, (), 5000),
    ]
