"""A target a set -> what to hang, exactly: the nearest total, the fewest pieces, the fewest moves over the session."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache, partial

from core.kit import Kind, Kit
from core.loading.choices import Choices, choices, least_moves
from core.loading.hang import Hang, Hung, HungSet
from core.loading.session import Stage, fewest_moves
from core.loading.stock import MOST_HUNG_G, Stock, bits, stock_of
from core.problems import BadInput, Problem, refuse
from core.units import Unit

__all__ = ["Hang", "Hung", "HungSet", "Taste", "hangable", "load", "nearest", "short_of", "tastes_for"]

MOST_SETS = 200


@dataclass(frozen=True, slots=True)
class Taste:
    """A set's preference. `vest`: one may be worn (a vest keeps the chest off the bar); `bells`: rather kettlebells,
    which swing less in long sets, where total, pieces and moves are the same."""

    vest: bool = True
    bells: bool = False


ANY = Taste()


def tastes_for(kit: Kit, reps: Sequence[int]) -> tuple[Taste, ...]:
    """The kit's preferences for sets of so many repetitions."""
    least = kit.prefer.kettlebells_from
    return tuple(Taste(bells=least is not None and count >= least) for count in reps)


def load(
    targets_g: Sequence[int], kit: Kit, *, body_g: int | None = None, tastes: Sequence[Taste] = (), where: str = "load"
) -> Hang:
    """What to hang for each target, in order.

    `body_g`: the athlete's mass, for the anchor's limit; `tastes`: one a set, or none. Raises `BadInput`: a target
    below 0 or absurd, more than the anchor takes, or targets for a kit without pieces.
    """
    wished = tuple(tastes) if tastes else (ANY,) * len(targets_g)
    most_g = _room(kit, body_g, where)
    _check(targets_g, kit, most_g, where)
    stock = stock_of(kit)
    found = [choices(stock, target, taste.vest, most_g) for target, taste in zip(targets_g, wished, strict=True)]
    stages = [_stage(stock, one, taste) for one, taste in zip(found, wished, strict=True)]
    path = fewest_moves(stages, partial(_bound, stock))
    sets = tuple(
        HungSet(target, one.total_g, _pieces(kit, stock, way))
        for target, one, way in zip(targets_g, found, path.ways, strict=True)
    )
    return Hang(sets, path.moves, path.least)


@lru_cache(maxsize=128)
def hangable(kit: Kit, body_g: int | None = None) -> tuple[int, ...]:
    """Every total that can be hung or worn, ascending; 0 first."""
    most_g = _room(kit, body_g, "kit")
    stock = stock_of(kit)
    on_chain = [place * stock.grain_g for place in bits(stock.totals)]
    totals = {worn + hung for worn in (0, *(vest.mass_g for vest in stock.vests)) for hung in on_chain}
    return tuple(sorted(total for total in totals if most_g is None or total <= most_g))


def nearest(target_g: int, kit: Kit, body_g: int | None = None) -> int:
    """The hangable total next to `target_g`, the lighter of two."""
    totals = hangable(kit, body_g)
    place = bisect_right(totals, target_g)
    around = totals[max(place - 1, 0) : place + 1]
    return min(around, key=lambda total: (abs(total - target_g), total))


def short_of(hang: Hang, kit: Kit, where: str = "load") -> tuple[Problem, ...]:
    """A sentence for each target that the rating of the chain, or the kit as a whole, keeps out of reach."""
    heaviest = hangable(kit)[-1]
    rating = kit.belt.max_load_g
    told = []
    for number, one in enumerate(hang.sets, 1):
        if one.target_g <= heaviest:
            continue
        rated = rating is not None and one.target_g > rating
        what = "the target is over the working limit of the chain" if rated else "the target is over all that there is"
        told.append(Problem(f"{where}, set {number}", what, "hang what is shown, the most that it takes"))
    return tuple(told)


def _room(kit: Kit, body_g: int | None, where: str) -> int | None:
    """What the anchor leaves for all that is added; None without a limit."""
    if kit.anchor is None:
        return None
    left_g = kit.anchor.max_load_g - (0 if body_g is None else body_g)
    if left_g < 0:
        raise refuse(where, "the body alone is over the working limit of the anchor", "hang from a stronger one")
    return left_g


def _check(targets_g: Sequence[int], kit: Kit, most_g: int | None, where: str) -> None:
    problems = []
    if len(targets_g) > MOST_SETS:
        problems.append(Problem(where, f"{len(targets_g)} sets in a session", f"give at most {MOST_SETS}"))
    for number, target in enumerate(targets_g, 1):
        what = _fault(target, kit, most_g)
        if what is not None:
            problems.append(Problem(f"{where}, set {number}", *what))
    if problems:
        raise BadInput(problems[:10])


def _fault(target_g: int, kit: Kit, most_g: int | None) -> tuple[str, str] | None:
    if target_g < 0:
        return "the target is negative", "give 0 or more; help comes from a band"
    if target_g > MOST_HUNG_G:
        return "no belt carries that", f"give at most {MOST_HUNG_G // 1000} kg"
    if most_g is not None and target_g > most_g:
        return "the target is over the working limit of the anchor", f"give at most {most_g / 1000:g} kg"
    if target_g > 0 and not kit.pieces:
        return "a kit without pieces can hang nothing", "add a [[plate]], [[kettlebell]] or [[vest]] to it"
    return None


def _stage(stock: Stock, found: Choices, taste: Taste) -> Stage:
    if not taste.bells:
        return Stage(found)
    bell_bits = 0
    for slot, place in zip(stock.slots, stock.offsets, strict=True):
        if slot.kind is Kind.KETTLEBELL:
            bell_bits |= ((1 << slot.copies) - 1) << place
    return Stage(found, tuple((way & ~bell_bits).bit_count() for way in found.ways))


def _bound(stock: Stock, before: Choices, after: Choices) -> int:
    return least_moves(stock, (before.total_g, before.pieces), (after.total_g, after.pieces))


def _pieces(kit: Kit, stock: Stock, way: int) -> tuple[Hung, ...]:
    """The pieces of a way, slot by slot."""
    hung = []
    stamps = _stamps(kit)
    while way:
        slot, place = stock.slot_of_bit[(way & -way).bit_length() - 1]
        taken = (way >> place & ((1 << slot.copies) - 1)).bit_count()
        hung.append(Hung(slot.kind, slot.mass_g, taken, *stamps[slot.kind, slot.mass_g]))
        way &= -1 << (place + slot.copies)
    return tuple(hung)


@lru_cache(maxsize=128)
def _stamps(kit: Kit) -> dict[tuple[Kind, int], tuple[int | None, Unit]]:
    """What is stamped on the pieces of a kind and mass, and in which unit; of unlike stamps the first."""
    return {(piece.kind, piece.mass_g): (piece.face_g, piece.unit or kit.unit) for piece in reversed(kit.pieces)}
