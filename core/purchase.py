"""What to buy next: for a budget and a coach's own price list, what closes the worst gaps between the steps."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import islice, pairwise

from core.kit import Band, Kit, Piece
from core.loading import hangable
from core.prices import Offer
from core.steps import COARSE, Pulls, helps
from core.training import Json

MOST_TRIED = 5000  # baskets; a longer list is searched a piece at a time, the best few kept
KEPT = 12
Basket = tuple[int, ...]  # how many of each offer
Badness = tuple[float, float, int]


@dataclass(frozen=True, slots=True)
class Need:
    """The steps of the coming months: body mass, and the system masses from the lightest to the heaviest set."""

    body_g: int
    low_g: int
    high_g: int
    pulls: Pulls | None = None


@dataclass(frozen=True, slots=True)
class Hole:
    """Two neighbouring system masses, more than `COARSE` apart; `above_g` may be the end of the need."""

    below_g: int
    above_g: int

    @property
    def share(self) -> float:
        return (self.above_g - self.below_g) / self.below_g

    def to_json(self) -> Json:
        return {"below_g": self.below_g, "above_g": self.above_g, "share": round(self.share, 4)}


@dataclass(frozen=True, slots=True)
class Purchase:
    """What to buy, with the holes before and after, widest first. `all_tried`: nothing affordable is better."""

    bought: tuple[tuple[Offer, int], ...]
    price: int
    before: tuple[Hole, ...]
    after: tuple[Hole, ...]
    all_tried: bool

    def to_json(self) -> Json:
        return {
            "buy": [offer.to_json() | {"count": count} for offer, count in self.bought],
            "price": self.price / 100,
            "before": [hole.to_json() for hole in self.before],
            "after": [hole.to_json() for hole in self.after],
            "all_tried": self.all_tried,
        }


def advise_purchase(kit: Kit, needs: Sequence[Need], offers: Sequence[Offer], budget: int) -> Purchase:
    """The basket for at most `budget` (hundredths) that leaves the smallest worst hole over all `needs`.

    Of equals the smallest sum of what the holes are too wide by, then the cheapest, then the first in list order.
    """
    nothing = tuple(0 for _ in offers)
    whole = list(islice(_baskets(offers, budget), MOST_TRIED + 1))
    all_tried = len(whole) <= MOST_TRIED
    badness = cache(lambda basket: _badness(kit, needs, offers, basket))
    tried = whole if all_tried else _searched(badness, offers, budget)
    best = min(tried, key=badness)
    bought = tuple((offer, count) for offer, count in zip(offers, best, strict=True) if count)
    return Purchase(
        bought,
        _price(offers, best),
        holes(with_basket(kit, offers, nothing), needs),
        holes(with_basket(kit, offers, best), needs),
        all_tried,
    )


def holes(kit: Kit, needs: Sequence[Need]) -> tuple[Hole, ...]:
    """The gaps of all the needs, the widest first, each once."""
    found = {hole for need in needs for hole in _holes(kit, need) if hole.share > COARSE}
    return tuple(sorted(found, key=lambda hole: (-hole.share, hole.below_g)))


def _holes(kit: Kit, need: Need) -> Iterator[Hole]:
    """Between neighbours from the last step at or below the need to the first at or above; its ends close the row."""
    pulls = () if need.pulls is None else tuple(sorted(need.pulls.items()))
    loads = hangable(kit, need.body_g)
    masses = {need.body_g - help_.assist_g + load for help_ in helps(kit, pulls) for load in loads}
    below = max((mass for mass in masses if mass <= need.low_g), default=need.low_g)
    above = min((mass for mass in masses if mass >= need.high_g), default=need.high_g)
    inside = sorted(mass for mass in masses if below < mass < above and mass > 0)
    yield from (Hole(one, other) for one, other in pairwise((below, *inside, above)) if other > one > 0)


def _badness(kit: Kit, needs: Sequence[Need], offers: Sequence[Offer], basket: Basket) -> Badness:
    left = holes(with_basket(kit, offers, basket), needs)
    worst = left[0].share if left else COARSE
    return round(worst, 6), round(sum(hole.share - COARSE for hole in left), 6), _price(offers, basket)


def _price(offers: Sequence[Offer], basket: Basket) -> int:
    return sum(offer.price * count for offer, count in zip(offers, basket, strict=True))


def with_basket(kit: Kit, offers: Sequence[Offer], basket: Basket) -> Kit:
    """The kit with the basket in it; a band more of a label that is there raises its count."""
    pieces, bands = list(kit.pieces), list(kit.bands)
    for offer, count in zip(offers, basket, strict=True):
        if count and isinstance(offer.what, Piece):
            pieces.append(replace(offer.what, count=count))
        elif count and isinstance(offer.what, Band):
            _add_band(bands, replace(offer.what, count=count))
    return replace(kit, pieces=tuple(pieces), bands=tuple(bands))


def _add_band(bands: list[Band], bought: Band) -> None:
    for place, band in enumerate(bands):
        if band.label == bought.label:
            bands[place] = replace(band, count=band.count + bought.count)
            return
    bands.append(bought)


def _baskets(offers: Sequence[Offer], budget: int) -> Iterator[Basket]:
    """Every basket that the budget pays, the empty one first."""
    if not offers:
        yield ()
        return
    for count in range(offers[0].most + 1):
        left = budget - count * offers[0].price
        if left < 0:
            return
        for rest in _baskets(offers[1:], left):
            yield (count, *rest)


def _searched(badness: Callable[[Basket], Badness], offers: Sequence[Offer], budget: int) -> list[Basket]:
    """Baskets met when one thing more is bought at a time and the best few are followed."""
    met = {tuple(0 for _ in offers)}
    front = list(met)
    while front:
        grown = {more for basket in front for more in _one_more(offers, basket, budget)} - met
        met |= grown
        front = sorted(grown, key=lambda basket: (badness(basket), basket))[:KEPT]
    return sorted(met, reverse=True)


def _one_more(offers: Sequence[Offer], basket: Basket, budget: int) -> Iterator[Basket]:
    left = budget - _price(offers, basket)
    for place, offer in enumerate(offers):
        if offer.price <= left and basket[place] < offer.most:
            yield (*basket[:place], basket[place] + 1, *basket[place + 1 :])
