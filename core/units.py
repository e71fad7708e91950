"""Masses are integer grams everywhere; kilograms and pounds exist only where a person reads or types."""

from decimal import ROUND_HALF_EVEN, Decimal
from enum import StrEnum

GRAMS_PER_POUND = Decimal("453.59237")  # exact: international yard and pound agreement, 1959
POUNDS_PER_STONE = 14


class Unit(StrEnum):
    """The unit a person reads and types."""

    KG = "kg"
    LB = "lb"


def grams(amount: Decimal | int | str, unit: Unit) -> int:
    """`amount` of `unit` in grams, rounded half to even."""
    per_unit = Decimal(1000) if unit is Unit.KG else GRAMS_PER_POUND
    return int((Decimal(amount) * per_unit).quantize(Decimal(1), rounding=ROUND_HALF_EVEN))


def amount(mass_g: int, unit: Unit) -> Decimal:
    """The mass as a person reads it: kilograms to the gram, pounds to the hundredth, without trailing zeros.

    `grams(amount(m, u), u)` is `m` again for kilograms, and for pounds within the displayed step (4.5 g).
    """
    if unit is Unit.KG:
        shown = Decimal(mass_g) / 1000
    else:
        shown = (Decimal(mass_g) / GRAMS_PER_POUND).quantize(Decimal("0.01"), rounding=ROUND_HALF_EVEN)
    return _plain(shown)


def _plain(number: Decimal) -> Decimal:
    """Without trailing zeros and without an exponent: 7.50 -> 7.5, 1E+1 -> 10."""
    stripped = number.normalize()
    return stripped.quantize(Decimal(1)) if stripped == stripped.to_integral_value() else stripped


def half_steps(rating: Decimal | float) -> float:
    """A rating to the nearest half, a tie upward: 8.3 -> 8.5, 8.25 -> 8.5."""
    doubled = Decimal(str(rating)) * 2
    return float((doubled + Decimal("0.5")).to_integral_value(rounding="ROUND_FLOOR") / 2)
