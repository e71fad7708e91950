"""The load against its definition, on random kits; and the cheats that this must catch."""

from collections.abc import Sequence

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from core.kit import Anchor, Belt, Kettlebell, Kit, Piece, Plate, Prefer, Vest, kit_from_toml
from core.loading import Hang, Taste, hangable, load, nearest, short_of, tastes_for
from core.loading.choices import Choices, choices, least_moves
from core.loading.session import Stage, fewest_moves
from core.loading.stock import stock_of
from core.problems import BadInput
from tests.core.kit.kits import GYM_BAG
from tests.core.loading import oracle

KILOGRAMS = tuple(range(1000, 9000, 1000))
MIXED = (500, 1134, 1250, 2268, 2500, 4930, 5000, 8000, 10_000, 11_340)


@st.composite
def bags(draw: st.DrawFn) -> Kit:
    """Kits of a few pieces whose masses often add up to one another's."""
    kind = st.sampled_from((Plate, Plate, Kettlebell, Vest))
    mass = st.sampled_from(draw(st.sampled_from((KILOGRAMS, KILOGRAMS, MIXED))))
    some = draw(st.lists(st.tuples(kind, mass, st.integers(1, 2)), min_size=3, max_size=6))
    pieces: tuple[Piece, ...] = tuple(make(mass, count) for make, mass, count in some)
    belt = Belt(draw(st.none() | st.integers(1, 4)), draw(st.none() | st.integers(11_340, 30_000)))
    return Kit(belt=belt, pieces=pieces)


whole = st.integers(2, 18).map(lambda kilograms: 1000 * kilograms)
targets = st.lists(whole | whole | st.integers(0, 40_000), min_size=1, max_size=5)


def path_of(hang: Hang) -> list[oracle.Way]:
    return [frozenset((p.kind.value, p.mass_g, p.count) for p in one.pieces) for one in hang.sets]


def right(kit: Kit, targets_g: Sequence[int], path: Sequence[oracle.Way], moves: int) -> bool:
    """Whether every set is one of the equally best, and the moves are counted and the fewest."""
    ways = oracle.every_way(kit)
    best = all(way in oracle.equal_best(ways, target) for way, target in zip(path, targets_g, strict=True))
    return best and oracle.moves_along(path) == moves == oracle.fewest(kit, targets_g)


@settings(max_examples=250, deadline=None)
@given(bags(), targets)
def test_the_load_is_what_its_definition_says(kit: Kit, targets_g: list[int]) -> None:
    hang = load(targets_g, kit)
    assert hang.least
    assert [one.total_g for one in hang.sets] == [oracle.total(way) for way in path_of(hang)]
    assert right(kit, targets_g, path_of(hang), hang.moves)


@settings(max_examples=100, deadline=None)
@given(bags())
def test_hangable_is_every_total(kit: Kit) -> None:
    assert hangable(kit) == tuple(sorted({oracle.total(way) for way in oracle.every_way(kit)}))


@settings(max_examples=100, deadline=None)
@given(bags(), st.integers(0, 60_000))
@example(Kit(pieces=(Plate(1000), Plate(3000))), 2000)
def test_nearest_is_the_load_of_one_set(kit: Kit, target_g: int) -> None:
    assert nearest(target_g, kit) == load([target_g], kit).sets[0].total_g


GREEDY_TRAP = Kit(pieces=(Plate(6000), Plate(5000), Plate(2500)))


def test_a_greedy_fill_is_caught() -> None:
    path = oracle.greedy(GREEDY_TRAP, [7500])
    assert not right(GREEDY_TRAP, [7500], path, oracle.moves_along(path))
    assert load([7500], GREEDY_TRAP).sets[0].total_g == 7500


# Two pairs make 10 kg; the one to start with is the one that the next set keeps.
PAIRS = [
    (Kit(belt=Belt(2), pieces=(Plate(7000), Plate(3000), Plate(6000), Plate(4000))), [10_000, 7000]),
    (Kit(belt=Belt(2), pieces=(Plate(7000), Plate(3000), Plate(6000), Plate(4000))), [10_000, 6000]),
]


@pytest.mark.parametrize(("kit", "targets_g"), PAIRS)
def test_it_looks_ahead(kit: Kit, targets_g: list[int]) -> None:
    assert load(targets_g, kit).moves == 3


def test_going_set_by_set_is_caught() -> None:
    paths = [(kit, targets_g, oracle.set_by_set(kit, targets_g)) for kit, targets_g in PAIRS]
    assert not all(right(kit, targets_g, path, oracle.moves_along(path)) for kit, targets_g, path in paths)


def test_the_pieces_come_in_one_order_whatever_the_file_says() -> None:
    kit = Kit(pieces=(Vest(10_000), Plate(1250), Kettlebell(8000), Plate(20_000)))
    shuffled = Kit(pieces=tuple(reversed(kit.pieces)))
    assert load([39_250], kit) == load([39_250], shuffled)
    assert [p.mass_g for p in load([39_250], kit).sets[0].pieces] == [20_000, 8000, 1250, 10_000]


def test_json_of_the_contract() -> None:
    kit = Kit(belt=Belt(5, 60_000), pieces=(Plate(5000, 2), Plate(2500, 2)))
    assert load([7500], kit).to_json() == {
        "sets": [
            {
                "target_g": 7500,
                "total_g": 7500,
                "pieces": [
                    {"kind": "plate", "mass_g": 5000, "count": 1},
                    {"kind": "plate", "mass_g": 2500, "count": 1},
                ],
            }
        ],
        "moves": 2,
    }


def test_what_is_stamped_comes_along() -> None:
    hang = load([4930, 11_340], kit_from_toml(GYM_BAG))
    assert [(p.face_g, p.unit) for one in hang.sets for p in one.pieces] == [(5000, "kg"), (None, "lb")]


def test_a_vest_takes_no_place_and_no_rating() -> None:
    kit = Kit(belt=Belt(1, 20_000), pieces=(Plate(20_000), Vest(10_000), Vest(12_000)))
    assert load([42_000], kit).sets[0].total_g == 32_000
    assert load([42_000], kit).moves == 2
    assert load([30_000], kit, tastes=[Taste(vest=False)]).sets[0].total_g == 20_000


def test_bells_for_a_long_set_only_where_nothing_else_changes() -> None:
    kit = Kit(pieces=(Plate(8000), Kettlebell(8000), Plate(4000, 2)))
    plain, long = load([8000], kit), load([8000], kit, tastes=[Taste(bells=True)])
    assert (plain.sets[0].pieces[0].kind, long.sets[0].pieces[0].kind) == ("plate", "kettlebell")
    first = load([12_000, 8000], kit, tastes=[Taste(), Taste(bells=True)])
    assert first.moves == 3
    assert first.sets[1].pieces[0].kind == "kettlebell"


def test_what_a_coach_prefers_is_data_of_the_kit() -> None:
    kit = Kit(pieces=(Plate(8000), Kettlebell(8000), Vest(10_000)), prefer=Prefer(vest=False, kettlebells_from=8))
    assert hangable(kit) == (0, 8000, 16_000)
    long, short = load([8000, 0, 8000], kit, tastes=tastes_for(kit, [10, 1, 5])).sets[::2]
    assert (long.pieces[0].kind, short.pieces[0].kind) == ("kettlebell", "plate")


def test_body_and_anchor() -> None:
    kit = Kit(pieces=(Plate(20_000, 3),), anchor=Anchor(100_000))
    assert load([20_000], kit, body_g=80_000).sets[0].total_g == 20_000
    assert hangable(kit, 75_000) == (0, 20_000)
    for targets_g, body_g, said in (
        ([40_000], 80_000, "over the working limit of the anchor"),
        ([0], 101_000, "the body alone is over"),
        ([120_000], None, "over the working limit of the anchor"),
    ):
        with pytest.raises(BadInput, match=said):
            load(targets_g, kit, body_g=body_g)


def test_the_nearest_is_one_that_the_anchor_bears() -> None:
    """20 kg would be nearer to 15, but 85 kg of body leave the anchor 15."""
    kit = Kit(pieces=(Plate(20_000), Plate(2500), Vest(14_000)), anchor=Anchor(100_000))
    assert load([15_000], kit, body_g=85_000).sets[0].total_g == 14_000
    assert load([12_000], kit, body_g=87_000, tastes=[Taste(vest=False)]).sets[0].total_g == 2500


def test_targets_that_nobody_hangs() -> None:
    with pytest.raises(BadInput, match="negative") as refused:
        load([-1, 600_000], Kit(pieces=(Plate(5000),)))
    assert len(refused.value.problems) == 2
    with pytest.raises(BadInput, match="a kit without pieces"):
        load([5000], Kit())
    with pytest.raises(BadInput, match="300 sets"):
        load([0] * 300, Kit())


def test_no_load_needs_no_pieces() -> None:
    assert load([0, 0], Kit()).to_json() == {"sets": [{"target_g": 0, "total_g": 0, "pieces": []}] * 2, "moves": 0}
    assert load([], Kit()) == Hang((), 0)


def test_out_of_reach_is_said() -> None:
    rated = Kit(belt=Belt(5, 22_000), pieces=(Plate(20_000, 3),))
    assert "working limit of the chain" in str(short_of(load([40_000, 20_000], rated), rated)[0])
    few = Kit(pieces=(Plate(5000),))
    assert "over all that there is" in str(short_of(load([40_000], few), few)[0])
    assert short_of(load([20_000], rated), rated) == ()


@settings(max_examples=60, deadline=None)
@given(bags(), st.integers(0, 20_000), st.integers(0, 20_000))
def test_the_bound_on_moves_is_one(kit: Kit, before_g: int, after_g: int) -> None:
    """No two best ways lie closer than the bound that the search trusts."""
    stock = stock_of(kit)
    first, second = (choices(stock, target, True, None) for target in (before_g, after_g))
    bound = least_moves(stock, (first.total_g, first.pieces), (second.total_g, second.pieces))
    assert bound <= min((one ^ other).bit_count() for one in first.ways for other in second.ways)


ODD = Kit(belt=Belt(5), pieces=tuple(Plate(1000 * number + 1) for number in range(1, 41)))


def test_thousands_of_equal_ways_are_no_trouble() -> None:
    """Every total that ends in 5 takes five pieces here, in thousands of ways."""
    targets_g = [105_005, 90_005, 110_005, 98_005]
    hang = load(targets_g, ODD)
    assert [one.total_g for one in hang.sets] == targets_g
    assert (hang.moves, hang.least) == (5 + 2 * 3, True)


def test_more_ways_than_are_kept_is_admitted() -> None:
    """Ten of forty pieces, millions of ways: the answer comes, and says whether its moves are proven."""
    stock = stock_of(Kit(belt=Belt(10), pieces=ODD.pieces))
    assert not choices(stock, 200_010, True, None).complete
    stages = [Stage(Choices(1, 1, (1, 2), complete=False)), Stage(Choices(2, 1, (4,)))]
    assert not fewest_moves(stages, lambda before, after: 1).least
    assert fewest_moves(stages, lambda before, after: 2).least


def test_a_search_that_is_cut_short_still_hangs_every_set_and_says_so() -> None:
    stages = [Stage(Choices(place, 2, (3, 5, 6, 9))) for place in range(4)]
    stages[1:3] = [Stage(Choices(9, 2, (96, 17))), Stage(Choices(8, 2, (24, 36)))]
    whole, cut = fewest_moves(stages, lambda *_: 1), fewest_moves(stages, lambda *_: 1, most_work=5)
    assert (whole.least, cut.least) == (True, False)
    assert all(way in stage.ways for way, stage in zip(cut.ways, stages, strict=True))
    assert whole.moves <= cut.moves


def test_a_kit_too_rich_to_keep_its_table() -> None:
    """Sixty unlike plates, weighed to the gram, and no end to the chain: 1001 + 1002 is the only way to 2003."""
    kit = Kit(pieces=tuple(Plate(mass) for mass in range(1001, 1061)))
    assert stock_of(kit)._table is None
    assert [p.mass_g for p in load([2003], kit).sets[0].pieces] == [1002, 1001]
    assert load([sum(range(1001, 1061)) - 1003], kit).sets[0].total_g == sum(range(1001, 1061)) - 1003


@settings(max_examples=150, deadline=None)
@given(bags(), st.integers(0, 20).map(lambda kilograms: 1000 * kilograms) | st.integers(0, 30_000))
def test_every_equally_good_way_is_found_once(kit: Kit, target_g: int) -> None:
    found = choices(stock_of(kit), target_g, True, None)
    assert found.complete
    assert len(found.ways) == len(set(found.ways)) == len(oracle.equal_best(oracle.every_way(kit), target_g))
