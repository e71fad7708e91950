"""What to buy: the best basket against all baskets, the price list and its mistakes, and loans."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.kit import Band, Belt, Guess, Kettlebell, Kit, Plate
from core.prices import Offer, offers_from_toml
from core.problems import BadInput
from core.purchase import Need, advise_purchase, holes, with_basket
from core.steps import COARSE

COARSE_BAG = Kit(belt=Belt(4), pieces=(Plate(5000, 2), Plate(10_000)), bands=(Band("amber", Guess(18_000)),))
SHOP = (
    Offer(Plate(500), 300, 2),
    Offer(Plate(1250), 400, 2),
    Offer(Plate(2500), 650, 2),
    Offer(Kettlebell(12_000), 3500, 1),
    Offer(Band("plum", Guess(9000)), 1200, 1),
)
NEED = Need(72_000, 54_000, 82_000)


def test_the_gap_table_before_and_after() -> None:
    advised = advise_purchase(COARSE_BAG, [NEED], SHOP, 2000)
    assert advised.price == 1050
    assert [(offer.what, count) for offer, count in advised.bought] == [(Plate(1250), 1), (Plate(2500), 1)]
    assert advised.before[0].share == pytest.approx(5 / 54, abs=1e-9)
    assert advised.after == ()
    assert advised.all_tried
    assert advised.to_json()["buy"][0] == {"kind": "plate", "mass_g": 1250, "price": 4.0, "count": 1}


def test_no_money_buys_nothing() -> None:
    advised = advise_purchase(COARSE_BAG, [NEED], SHOP, 0)
    assert (advised.bought, advised.price, advised.before) == ((), 0, advised.after)


def test_nothing_is_bought_where_nothing_is_too_wide() -> None:
    fine = Kit(belt=Belt(9), pieces=(Plate(250, 1), Plate(500, 1), Plate(1000, 2), Plate(2500, 4)))
    assert holes(fine, [Need(72_000, 72_000, 80_000)]) == ()
    assert advise_purchase(fine, [Need(72_000, 72_000, 80_000)], SHOP, 10_000).bought == ()


def test_a_band_where_only_a_band_helps() -> None:
    """No plate reaches below the band that there is not."""
    advised = advise_purchase(Kit(belt=Belt(4), pieces=(Plate(1000, 4),)), [Need(72_000, 63_000, 72_000)], SHOP, 2000)
    assert "band" in [offer.to_json()["kind"] for offer, _ in advised.bought]
    assert advised.after[0].share < advised.before[0].share


def test_the_ends_of_the_need_count() -> None:
    found = holes(Kit(pieces=(Plate(1000),)), [Need(70_000, 70_000, 80_000)])
    assert [(hole.below_g, hole.above_g) for hole in found] == [(71_000, 80_000)]


@settings(max_examples=25, deadline=None)
@given(st.integers(300, 4000), st.integers(50_000, 75_000), st.integers(1, 15))
def test_no_basket_is_better(budget: int, low_g: int, reach: int) -> None:
    """Against every basket by plain counting."""
    need = Need(72_000, low_g, low_g + 1000 * reach)
    worst = []
    for basket in product(*(range(offer.most + 1) for offer in SHOP)):
        if sum(offer.price * count for offer, count in zip(SHOP, basket, strict=True)) <= budget:
            left = holes(with_basket(COARSE_BAG, SHOP, basket), [need])
            worst.append(left[0].share if left else COARSE)
    after = advise_purchase(COARSE_BAG, [need], SHOP, budget).after
    assert (after[0].share if after else COARSE) == pytest.approx(min(worst), abs=1e-6)


def test_a_long_list_is_searched_and_says_so() -> None:
    shop = tuple(Offer(Plate(mass), 100 + mass // 10, 3) for mass in range(500, 6500, 500))
    advised = advise_purchase(COARSE_BAG, [NEED], shop, 5000)
    assert not advised.all_tried
    assert advised.after == ()
    assert advised.price <= 5000


LIST = """
unit = "kg"
[[plate]]
mass = 1.25
price = 4.50
most = 2
[[band]]
label = "plum"
price = 12
hang = 16
top = 8
"""


def test_a_price_list() -> None:
    plate, band = offers_from_toml(LIST)
    assert plate == Offer(Plate(1250), 450, 2)
    assert (band.price, band.most, band.to_json()["label"]) == (1200, 4, "plum")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "nothing is offered"),
        ("[[plate", "no TOML"),
        ("[[plate]]\nmass = 5", "no price"),
        ("[[plate]]\nmass = 5\nprice = -1", "price = -1 is negative"),
        ("[[plate]]\nprice = 1", "no mass"),
        ("[[plate]]\nmass = 5\nprice = 1\nmost = 100", "most = 100 is out of range"),
        ("[[plate]]\nmass = 5\nprice = 1\nshop = 'x'", 'unknown key "shop"'),
        ("[[bar]]\nprice = 1", 'unknown key "bar"'),
    ],
)
def test_mistakes_in_a_price_list(text: str, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        offers_from_toml(text)
