"""A coach's own price list, TOML: the tables of a kit file, each with `price` and, if not 4, `most`.

    unit = "kg"
    [[plate]]
    mass = 0.5
    price = 3.20
    most = 2

A price is in whatever money the budget is in. `most` is how many would be bought at most.
"""

import tomllib
from dataclasses import dataclass
from decimal import Decimal

from core.kit import KINDS, Band, Piece
from core.kit.bandfile import read_bands
from core.kit.reading import piece_of, tables_of
from core.kit.table import Table, between
from core.problems import BadInput, Problem, refuse
from core.training import Json
from core.units import Unit

PRICE = between("0.01", 100_000)
MOST = between(1, 10)
USUAL_MOST = 4
OWN_KEYS = ("price", "most")


@dataclass(frozen=True, slots=True)
class Offer:
    """A piece or band to buy. `price` in hundredths."""

    what: Piece | Band
    price: int
    most: int = USUAL_MOST

    def to_json(self) -> Json:
        if isinstance(self.what, Band):
            return {"kind": "band", "label": self.what.label, "price": self.price / 100}
        return {"kind": self.what.kind.value, "mass_g": self.what.mass_g, "price": self.price / 100}


def offers_from_toml(text: str, where: str = "prices") -> tuple[Offer, ...]:
    """The offers of a price list. Raises `BadInput` with every mistake, or where nothing is offered."""
    try:
        data = tomllib.loads(text, parse_float=Decimal)
    except (tomllib.TOMLDecodeError, ValueError, RecursionError):
        raise refuse(where, "this is no TOML", "mend it, or start from the example") from None
    table = Table(data, where, [])
    table.only(("unit", "band", *(kind.kind.value for kind in KINDS)))
    unit = table.choice("unit", Unit)
    offers = _pieces(table, unit) + _bands(table, unit)
    if not offers and not table.problems:
        table.problems.append(Problem(where, "nothing is offered", "add a [[plate]] with mass and price"))
    if table.problems:
        raise BadInput(table.problems)
    return tuple(offers)


def _pieces(table: Table, unit: Unit | None) -> list[Offer]:
    found = []
    for kind in KINDS:
        for one in tables_of(table, kind.kind.value):
            piece = piece_of(_inner(one), kind, unit)
            offer = _offer(one, piece)
            if offer is not None:
                found.append(offer)
    return found


def _bands(table: Table, unit: Unit | None) -> list[Offer]:
    tables = list(tables_of(table, "band"))
    bands = read_bands([_inner(one) for one in tables], unit)
    found = [_offer(one, band) for one, band in zip(tables, bands, strict=False)]
    return [offer for offer in found if offer is not None]


def _inner(table: Table) -> Table:
    """The table as a kit file would have it."""
    return Table({key: value for key, value in table.data.items() if key not in OWN_KEYS}, table.where, table.problems)


def _offer(table: Table, what: Piece | Band | None) -> Offer | None:
    table.need("price", "3.20")
    price, most = table.number("price", PRICE), table.whole("most", MOST)
    if price is None or what is None:
        return None
    return Offer(what, round(price * 100), USUAL_MOST if most is None else most)
