"""Answers to what the coach has just asked: a bare number is no set then."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from core.replies.efforts import rating, spoken_rating
from core.replies.items import (
    Bands,
    Count,
    Effort,
    Group,
    Item,
    Load,
    OutOf,
    Pair,
    Placed,
    Position,
    Relative,
    Seconds,
    Times,
    Weighed,
)
from core.replies.masses import FAR
from core.replies.reading import Context, Reading, Unclear
from core.replies.terms import Term
from core.replies.weighing import LIGHTEST_G
from core.training import Pain
from core.units import grams

_QUANTITIES = (Count, OutOf, Group, Times, Pair, Load, Effort, Seconds, Weighed, Relative, Bands)
MOST_CHOICES = 9
_SHORT = 3  # items of an answer that only names a place


@dataclass(frozen=True, slots=True)
class Bare:
    """The only number of a message."""

    number: Decimal
    item: Item


def answer(placed: Sequence[Placed], terms: Sequence[Term], so_far: Reading, context: Context) -> Reading | None:
    """The answer to `context.asked`, None where the message says something else."""
    bare = _bare(placed)
    match context.asked:
        case "pain":
            return _pain(placed, bare, so_far)
        case "effort":
            return _effort(placed, terms, so_far)
        case "bodyweight":
            return _weight(bare, so_far, context)
        case "choice":
            return _choice(placed, bare, so_far)
        case _:
            return None


def _bare(placed: Sequence[Placed]) -> Bare | None:
    live = [one.item for one in placed if isinstance(one.item, _QUANTITIES) and not one.struck]
    if len(live) != 1:
        return None
    item = live[0]
    if isinstance(item, Count) and not item.said:
        return Bare(item.number, item)
    if isinstance(item, Load) and item.by in ("decimal", "unit", "label", "at", "word"):
        return Bare(item.amount, item)
    return Bare(item.number, item) if isinstance(item, OutOf) and item.of == 10 else None


def _pain(placed: Sequence[Placed], bare: Bare | None, so_far: Reading) -> Reading | None:
    place = next((str(term.meanings["place"]) for one in placed for term in one.terms if term.has("place")), None)
    if bare is None and place is not None and len(placed) <= _SHORT and so_far.healed is None and so_far.pain is None:
        return replace(so_far, pain=Pain(place, None))
    if bare is None or (isinstance(bare.item, Load) and bare.item.unit_said):
        return None
    score = int(bare.number + Decimal("0.5")) if 0 <= bare.number <= 10 else None
    if score is None:
        return replace(so_far, unclear=Unclear("pain_score"))
    return replace(so_far, pain=Pain(place, score))


def _effort(placed: Sequence[Placed], terms: Sequence[Term], so_far: Reading) -> Reading | None:
    live = [one.item for one in placed if isinstance(one.item, _QUANTITIES) and not one.struck]
    rated = [item for item in live if isinstance(item, Effort)]
    if len(live) == 1 and rated:
        found = rated[0].ratings[0]
    else:
        if not live or not all(isinstance(item, Count | Load | OutOf) for item in live) or len(live) > 2:
            return None
        spoken = spoken_rating(terms)
        if spoken is None or any(
            (isinstance(item, Count) and item.said) or (isinstance(item, Load) and item.unit_said) for item in live
        ):
            return None
        found = spoken[0]
    if found is None:
        return replace(so_far, unclear=Unclear("rating"))
    return replace(so_far, effort=found)


def _weight(bare: Bare | None, so_far: Reading, context: Context) -> Reading | None:
    if so_far.bodyweight_g is not None or bare is None or isinstance(bare.item, OutOf):
        return None
    said = isinstance(bare.item, Load) and bare.item.unit_said
    mass_g = bare.item.mass_g if said and isinstance(bare.item, Load) else grams(bare.number, context.unit)
    known = context.bodyweight_g
    plausible = LIGHTEST_G <= mass_g <= 300_000 if known is None else abs(mass_g - known) * 100 <= known * FAR
    if not plausible:
        return replace(so_far, unclear=Unclear("bodyweight", (replace(so_far, bodyweight_g=mass_g),)))
    return replace(so_far, bodyweight_g=mass_g)


def _choice(placed: Sequence[Placed], bare: Bare | None, so_far: Reading) -> Reading | None:
    positions = [one.item for one in placed if isinstance(one.item, Position)]
    if bare is None and len(positions) == 1 and positions[0].at >= 0:
        return replace(so_far, choice=positions[0].at + 1)
    if bare is None or not isinstance(bare.item, Count) or bare.number != bare.number.to_integral_value():
        return None
    return replace(so_far, choice=int(bare.number)) if 1 <= bare.number <= MOST_CHOICES else None


__all__ = ["answer", "rating"]
