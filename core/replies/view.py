"""Where a recogniser stands: the terms from here on, what was found before, and the context."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from core.replies.items import Item
from core.replies.reading import Context
from core.replies.terms import Term
from core.units import POUNDS_PER_STONE, Unit, grams

END = Term("", "", gap=True, mark=True)
_GRAMS_BEHIND_KILOS = (100, 999)


@dataclass(frozen=True, slots=True)
class View:
    """`terms[at]` is the next one. `before`: the items found so far, the nearest last."""

    terms: Sequence[Term]
    at: int
    context: Context
    before: Sequence[Item]

    def term(self, ahead: int = 0) -> Term:
        """The term `ahead` of here; END outside the message."""
        at = self.at + ahead
        return self.terms[at] if 0 <= at < len(self.terms) else END

    def number(self, ahead: int = 0) -> Decimal | None:
        return self.term(ahead).number

    def has(self, ahead: int, *kinds: str) -> bool:
        return self.term(ahead).has(*kinds)

    def mark(self, ahead: int, *marks: str) -> bool:
        term = self.term(ahead)
        return term.mark and term.text in marks

    def skip(self, ahead: int, *kinds: str) -> int:
        """The first place from `ahead` on that is none of `kinds` (three words at most)."""
        for at in range(ahead, ahead + 3):
            numeric = self.number(at) is not None and not self.has(at, "article", *({"one"} & set(kinds)))
            if not self.has(at, *kinds) or numeric:
                return at
        return ahead + 3

    @property
    def previous(self) -> Item | None:
        return self.before[-1] if self.before else None


Found = tuple[Item, int]
Recogniser = Callable[[View], Found | None]


@dataclass(frozen=True, slots=True)
class Mass:
    """A number with its unit. `doubt`: a unit that means two things here."""

    mass_g: int
    amount: Decimal
    unit_said: bool
    taken: int
    doubt: str = ""


def mass_at(view: View, ahead: int) -> Mass | None:
    """A mass from `ahead` on: `7.5`, `7,5 kg`, `11st 5`, `10#`, `72 kilos 800`."""
    number = view.number(ahead)
    if number is None or (view.has(ahead, "counted") and view.has(ahead + 1, "kg", "lb")):
        return None
    unit = view.context.unit
    after = ahead + 1
    if view.has(after, "kg"):
        return _kilos(view, ahead, number)
    if view.has(after, "stone") and not view.has(after, "ordinal"):
        return _stones(view, ahead, number)
    if view.has(after, "lb") or (view.mark(after, "#") and not view.term(after).gap):
        return Mass(grams(number, Unit.LB), number, True, 2)
    if view.has(after, "pound_or_half_kilo"):
        return Mass(grams(number, Unit.LB), number, True, 2, "" if unit is Unit.LB else "pound_or_half_kilo")
    return Mass(grams(number, unit), number, False, 1)


def _kilos(view: View, ahead: int, number: Decimal) -> Mass:
    more = view.term(ahead + 2)
    if more.has("half") and number == number.to_integral_value():
        return Mass(grams(number + Decimal("0.5"), Unit.KG), number + Decimal("0.5"), True, 3)
    low, high = _GRAMS_BEHIND_KILOS
    if more.number is not None and more.figures and low <= more.number <= high and number >= 20:
        number += more.number / 1000
        return Mass(grams(number, Unit.KG), number, True, 3)
    return Mass(grams(number, Unit.KG), number, True, 2)


def _stones(view: View, ahead: int, number: Decimal) -> Mass:
    pounds = view.number(ahead + 2)
    follows = view.term(ahead + 2)
    if pounds is not None and pounds < POUNDS_PER_STONE and not view.term(ahead + 1).mark and follows.figures:
        taken = 4 if view.has(ahead + 3, "lb") else 3
        return Mass(grams(number * POUNDS_PER_STONE + pounds, Unit.LB), number, True, taken)
    return Mass(grams(number * POUNDS_PER_STONE, Unit.LB), number, True, 2)
