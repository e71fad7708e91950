"""The ladder of steps against its definition, its neighbours and its gaps."""

from itertools import combinations_with_replacement

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.bands import Z80
from core.kit import Anchor, Band, Belt, Guess, Kit, Plate, Readings, Vest
from core.loading import hangable
from core.problems import BadInput
from core.steps import Step, band_sets, gaps, nearest_step, next_down, next_up, steps
from tests.core.kit.kits import kits
from tests.core.loading import oracle

AMBER = Band("amber", Readings(24_000, 12_000))
KNOTTED = Band("amber knotted", Readings(31_000, 17_000), of="amber")
SLATE = Band("slate", Readings(16_000, 8_000), count=2)
KIT = Kit(belt=Belt(2, 20_000), pieces=(Plate(1250, 2), Plate(2500), Vest(10_000)), bands=(AMBER, KNOTTED, SLATE))


def by_definition(kit: Kit, body_g: int) -> set[tuple[tuple[str, ...], int, int]]:
    """(bands, load, assistance) of every step, from the words of the contract."""
    loads = {oracle.total(way) for way in oracle.every_way(kit)}
    if kit.anchor is not None:
        loads = {load for load in loads if body_g + load <= kit.anchor.max_load_g}
    means = {band.label: (band.known.hang_g + band.known.top_g) / 2 for band in kit.bands}
    found = {((), load, 0) for load in loads}
    for band in kit.bands:
        found |= {((band.label,), load, round(means[band.label])) for load in loads}
    for one, other in combinations_with_replacement(kit.bands, 2):
        if (one is other and one.count > 1) or kit.rubber(one) != kit.rubber(other):
            labels = tuple(sorted((one.label, other.label)))
            found |= {(labels, load, round(means[one.label] + means[other.label])) for load in loads}
    return {step for step in found if body_g + step[1] - step[2] > 0}


@pytest.mark.parametrize("anchor", [None, Anchor(82_500)])
@pytest.mark.parametrize("body_g", [80_000, 30_000, 15_000])
def test_every_step_and_no_other(body_g: int, anchor: Anchor | None) -> None:
    kit = Kit(belt=KIT.belt, pieces=KIT.pieces, bands=KIT.bands, anchor=anchor)
    found = steps(kit, body_g)
    assert {(step.bands, step.added_g, step.assist_g) for step in found} == by_definition(kit, body_g)
    assert len({(step.bands, step.added_g) for step in found}) == len(found)


@settings(max_examples=60, deadline=None)
@given(kits(), st.integers(25_000, 150_000))
def test_laws_of_the_ladder(kit: Kit, body_g: int) -> None:
    if kit.anchor is not None and kit.anchor.max_load_g < body_g:
        with pytest.raises(BadInput, match="over the working limit of the anchor"):
            steps(kit, body_g)
        return
    ladder = steps(kit, body_g)
    assert [step.system_g for step in ladder] == sorted(step.system_g for step in ladder)
    assert all(step.system_g == body_g + step.added_g - step.assist_g > 0 for step in ladder)
    assert all(step.low_g <= step.system_g <= step.high_g for step in ladder)
    assert all(list(step.bands) == sorted(step.bands) and len(step.bands) <= 2 for step in ladder)
    assert {step.added_g for step in ladder if not step.bands} == set(hangable(kit, body_g))


def test_the_contract_s_own_numbers() -> None:
    """Two readings: the mean is half their sum. 80 % of a 5 % spread is +-6.4 % of the pull."""
    amber = next(step for step in steps(KIT, 72_400) if step.bands == ("amber",) and step.added_g == 2500)
    assert (amber.system_g, amber.assist_g) == (56_900, 18_000)
    assert (amber.low_g, amber.high_g) == (56_900 - round(Z80 * 900), 56_900 + round(Z80 * 900))
    assert amber.to_json() == {
        "bands": ["amber"], "added_g": 2500, "system_g": 56_900, "assist_g": 18_000, "low_g": 55_747, "high_g": 58_053
    }  # fmt: skip


def test_without_a_band_there_is_no_doubt() -> None:
    assert all(step.low_g == step.high_g for step in steps(KIT, 72_400) if not step.bands)


def test_unlike_bands_err_apart_and_two_of_a_kind_alike() -> None:
    ladder = {step.bands: step for step in steps(KIT, 72_400) if step.added_g == 0}
    alone = {bands[0]: step.high_g - step.system_g for bands, step in ladder.items() if len(bands) == 1}
    mixed, alike = ladder["amber", "slate"], ladder["slate", "slate"]
    assert mixed.high_g - mixed.system_g == pytest.approx((alone["amber"] ** 2 + alone["slate"] ** 2) ** 0.5, abs=1)
    assert alike.high_g - alike.system_g == pytest.approx(2 * alone["slate"], abs=1)


def test_what_the_engine_believes_leads_and_the_kit_is_shown_beside() -> None:
    believed = {"amber": (15_000, 14_000, 16_500)}
    amber = next(s for s in steps(KIT, 70_000, pulls=believed) if s.bands == ("amber",) and s.added_g == 0)
    assert (amber.assist_g, amber.stated_g, amber.system_g) == (15_000, 18_000, 55_000)
    assert (amber.low_g, amber.high_g) == (53_500, 56_000)
    assert amber.to_json()["stated_g"] == 18_000


def test_neighbours() -> None:
    ladder = steps(Kit(pieces=(Plate(1250, 2),), bands=(AMBER,)), 80_000)
    assert [step.system_g for step in ladder] == [62_000, 63_250, 64_500, 80_000, 81_250, 82_500]
    up, down = next_up(ladder, 64_500), next_down(ladder, 64_500)
    assert (up, down) == (ladder[3], ladder[1])
    assert next_up(ladder, 82_500) is None
    assert next_down(ladder, 62_000) is None
    assert nearest_step(ladder, 72_250) == ladder[2]
    assert nearest_step(ladder, 90_000) == ladder[5]


def test_neighbours_skip_equals() -> None:
    kit = Kit(pieces=(Plate(18_000),), bands=(AMBER,))
    ladder = steps(kit, 80_000)
    assert [(step.bands, step.system_g) for step in ladder[1:3]] == [((), 80_000), (("amber",), 80_000)]
    assert next_up(ladder, 62_000) == ladder[1]
    assert next_down(ladder, 98_000) == ladder[1]


def test_gaps_are_named_widest_first() -> None:
    ladder = steps(Kit(pieces=(Plate(1250, 2), Plate(5000)), bands=(AMBER,)), 80_000)
    found = gaps(ladder)
    assert [(gap.below.system_g, gap.above.system_g) for gap in found] == [
        (69_500, 80_000),
        (64_500, 67_000),
        (82_500, 85_000),
    ]
    assert found[0].share == pytest.approx(10_500 / 69_500)
    assert [gap.below.system_g for gap in gaps(ladder, 81_000, 90_000)] == [82_500]


def test_bad_input() -> None:
    for body_g in (0, -5, 600_000):
        with pytest.raises(BadInput, match="nobody weighs that"):
            steps(KIT, body_g)
    ladder = steps(Kit(bands=(Band("rope", Guess(70_000)),)), 60_000)
    assert [step.bands for step in ladder] == [()]
    with pytest.raises(BadInput, match="below the lightest step"):
        nearest_step(ladder, 30_000)
    with pytest.raises(BadInput, match="no step"):
        nearest_step((), 30_000)
    assert isinstance(ladder[0], Step)


def test_a_kit_of_endless_steps_is_refused() -> None:
    pieces = tuple(Plate(1000 + 7 * number * number) for number in range(60))
    bands = tuple(Band(f"b{number}", Guess(1000 * number)) for number in range(1, 8))
    with pytest.raises(BadInput, match="this kit makes"):
        steps(Kit(pieces=pieces, bands=bands), 80_000)


@pytest.mark.parametrize(
    ("loops", "knots", "pairs"),
    [(1, 1, set()), (1, 2, set()), (2, 1, {("a", "a")}), (2, 2, {("a", "a"), ("a knot", "a knot")})],
)
def test_two_of_a_kind_need_two_loops(loops: int, knots: int, pairs: set[tuple[str, str]]) -> None:
    bands = (Band("a", Guess(9000), loops), Band("a knot", Guess(12_000), knots, of="a"))
    assert {found for found in band_sets(Kit(bands=bands)) if len(found) == 2} == pairs
