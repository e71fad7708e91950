"""The body weight in a message, and whether to ask about it first."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.replies.items import Bands, Count, Group, Load, Noise, OutOf, Pair, Placed, Said, Times, Unknown, Weighed
from core.replies.reading import Context
from core.replies.weighing import LIGHTEST_G

NEAR, FAR = 5, 10  # per cent of the known body weight
_OTHERS = ("other_person", "conditional", "plan", "question")


@dataclass(frozen=True, slots=True)
class Weight:
    """`mass_g` where it is sure; `ask`: a body weight that one would ask about."""

    mass_g: int | None
    ask: bool
    items: list[Placed]
    supposed_g: int | None = None  # the one to ask about


def weight(placed: Sequence[Placed], context: Context) -> Weight:
    """Takes the body weight out of the items."""
    items = list(placed)
    for at, one in enumerate(items):
        if one.struck:
            continue
        if isinstance(one.item, Weighed):
            if _of_another(items, at):
                items[at] = replace(one, struck="other_person")
                continue
            items[at] = replace(one, item=Noise("weight"), struck="weight")
            near = _off(one.item.mass_g, context)
            sure = near is None or near <= FAR
            return Weight(one.item.mass_g if sure else None, not sure, items, one.item.mass_g)
        mass_g = _bare(items, at)
        if mass_g is not None:
            found = _judged(items, at, mass_g, context)
            if found is not None:
                return found
    return Weight(None, False, items)


def _of_another(items: Sequence[Placed], at: int) -> bool:
    clause = items[at].clause
    return any(isinstance(said := one.item, Said) and one.clause == clause and said.has(*_OTHERS) for one in items)


def _off(mass_g: int, context: Context) -> float | None:
    """How far from the known body weight, in per cent."""
    known = context.bodyweight_g
    return None if known is None else abs(mass_g - known) * 100 / known


def _bare(items: Sequence[Placed], at: int) -> int | None:
    """A mass with a unit or a decimal, alone in its sentence."""
    item = items[at].item
    if not isinstance(item, Load) or not (item.unit_said or item.by == "decimal") or item.by not in ("unit", "decimal"):
        return None
    if item.mass_g < LIGHTEST_G:
        return None
    beside = [one for one in items if one.sentence == items[at].sentence and one is not items[at] and not one.struck]
    if any(isinstance(one.item, Count | OutOf | Group | Times | Pair | Load | Bands | Unknown) for one in beside):
        return None
    return item.mass_g if item.mass_g >= LIGHTEST_G else None


def _judged(items: list[Placed], at: int, mass_g: int, context: Context) -> Weight | None:
    off = _off(mass_g, context)
    if off is None or _of_another(items, at):
        return None
    items[at] = replace(items[at], item=Noise("weight"), struck="weight")
    return Weight(mass_g if off <= NEAR else None, off > NEAR, items, mass_g)
