"""Answers to what the coach has just asked: a bare number is no set then."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from core.replies.efforts import HARDEST, rating, spoken_rating
from core.replies.items import (
    Bands,
    Count,
    Effort,
    Group,
    Item,
    Load,
    NoBand,
    OutOf,
    Pair,
    Placed,
    Position,
    Punct,
    Relative,
    Said,
    Seconds,
    SomeBand,
    Times,
    Unweighted,
    Weighed,
)
from core.replies.masses import FAR
from core.replies.reading import Context, Reading, Unclear
from core.replies.terms import Term
from core.replies.weighing import LIGHTEST_G
from core.training import Pain
from core.units import grams

_GEAR = (Bands, SomeBand, NoBand, Unweighted)
_QUANTITIES = (Count, OutOf, Group, Times, Pair, Load, Effort, Seconds, Weighed, Relative, *_GEAR)
MOST_CHOICES = 9
_LOWEST_ASKED = 6  # the question for effort offers 6 to 10
_SHORT = 3  # items of an answer that only names a place


@dataclass(frozen=True, slots=True)
class Bare:
    """The only number of a message."""

    number: Decimal
    item: Item


def answer(placed: Sequence[Placed], terms: Sequence[Term], so_far: Reading, context: Context) -> Reading | None:
    """The answer to `context.asked`, None where the message says something else."""
    bare = _bare(placed)
    if _of_a_place(placed) or _is_subject(placed, context):
        return _last_or_effort(placed, terms, bare, so_far) if context.asked == "effort" else None
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


def _of_a_place(placed: Sequence[Placed]) -> bool:
    """`second one was 6` speaks of a set, not of what was asked."""
    live = [one.item for one in placed if not one.struck]
    return any(isinstance(item, Position) for item in live) and any(isinstance(item, _QUANTITIES) for item in live)


def _is_subject(placed: Sequence[Placed], context: Context) -> bool:
    """`7.5 was too heavy` says something of a load; `4 was the worst` may score pain."""
    kinds = Load if context.asked == "pain" else Count | Load
    return any(
        isinstance(one.item, kinds) and isinstance(said := verb.item, Said) and said.has("was")
        and not isinstance(after.item, Punct)
        for one, verb, after in zip(placed, placed[1:], placed[2:], strict=False)
    )  # fmt: skip


def _last_or_effort(
    placed: Sequence[Placed], terms: Sequence[Term], bare: Bare | None, so_far: Reading
) -> Reading | None:
    """`last one was 8` right after the question for the last set's effort may be either; `an 8` rates it."""
    last = any(isinstance(item := one.item, Position) and item.at == -1 for one in placed)
    if not last or bare is None or not _LOWEST_ASKED <= bare.number <= HARDEST:
        return None
    if any(isinstance(item := one.item, Said) and item.has("article") for one in placed):
        return _effort(placed, terms, so_far)
    return replace(so_far, unclear=Unclear("rating_or_reps"))


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
    if len(live) == 1 and isinstance(live[0], Effort):
        found = live[0].ratings[0]
    else:
        gone = {id(term) for one in placed if one.struck for term in one.terms}
        kept = [term for term in terms if id(term) not in gone]
        spoken = spoken_rating(kept) if live and all(map(_may_rate, live)) else None
        if spoken is None:
            return None
        found = spoken[0]
    if found is None:
        return replace(so_far, unclear=Unclear("rating"))
    return replace(so_far, effort=found)


def _may_rate(item: Item) -> bool:
    """A number that nothing marks as repetitions or a mass."""
    if isinstance(item, Count):
        return not item.said
    return isinstance(item, OutOf) or (isinstance(item, Load) and not item.unit_said)


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
