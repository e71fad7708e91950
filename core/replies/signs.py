"""What `@` and `45x5` mean, which hangs on the rest of the message and on the prescription."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from core.replies.efforts import rating
from core.replies.items import Count, Doubt, Effort, Group, Item, Load, Pair, Placed, Punct, Said, Times, Unweighted
from core.replies.reading import Context
from core.training import Set
from core.units import amount, grams

LOWEST_SIGNED, HIGHEST_SIGNED = Decimal(6), Decimal(10)
MOST_SETS = 20
_NEAR_G = 2500


def settle(placed: Sequence[Placed], context: Context) -> list[Placed]:
    """The items with every `@` a load or a rating, every pair a group or a load, and comma pairs split or not."""
    out = _comma_pairs(list(placed), context)
    out = _crossed_pairs(out, context)
    return _signs(out, context)


def _live(placed: Sequence[Placed]) -> list[int]:
    return [at for at, one in enumerate(placed) if not one.struck]


# commas: `7,5` is a list where nothing makes it a decimal


def _comma_pairs(placed: list[Placed], context: Context) -> list[Placed]:
    counted = [at for at in _live(placed) if isinstance(placed[at].item, Count | Group | Times | Pair)]
    out: list[Placed] = []
    for at, one in enumerate(placed):
        item = one.item
        if not isinstance(item, Count) or item.pair is None or one.struck:
            out.append(one)
        elif len(counted) > 1 or _told_of(placed, at) or item.said or max(item.pair) > 50 or min(item.pair) < 1:
            out.append(replace(one, item=_decimal(item, context)))
        else:
            out += [replace(one, item=Count(Decimal(number))) for number in item.pair]
    return out


def _told_of(placed: Sequence[Placed], at: int) -> bool:
    """`7,5 war zu schwer`: something is said of one number."""
    verb = placed[at + 1].item if at + 2 < len(placed) else None
    return isinstance(verb, Said) and verb.has("was") and not isinstance(placed[at + 2].item, Punct)


def _decimal(item: Count, context: Context) -> Item:
    if item.said:
        return replace(item, pair=None)
    return Load(_grams(item.number, context), item.number, "decimal")


# crosses: sets times repetitions, unless that is absurd


def _crossed_pairs(placed: list[Placed], context: Context) -> list[Placed]:
    pairs = [one.item for one in placed if isinstance(one.item, Pair) and not one.struck]
    total = sum((pair.first for pair in pairs), Decimal(0))
    as_loads = bool(pairs) and (any(pair.first > MOST_SETS for pair in pairs) or (len(pairs) > 1 and total > MOST_SETS))
    stated = [one.item for one in placed if isinstance(one.item, Group) and one.item.stated]
    out: list[Placed] = []
    for one in placed:
        if not isinstance(one.item, Pair) or one.struck:
            out.append(one)
            continue
        if any(group.sets == one.item.first and group.reps == one.item.second for group in stated):
            continue
        out += [replace(one, item=item) for item in _pair(one.item, as_loads, context)]
    return out


def _pair(pair: Pair, as_load: bool, context: Context) -> list[Item]:
    if as_load and pair.third is None:
        return [Times(Load(_grams(pair.first, context), pair.first, "unit"), pair.second)]
    group: list[Item] = [Group(int(pair.first), pair.second, stated=False)]
    if _reversed(pair, context):
        group.append(Doubt("reversed"))
    if _prescribed_load(pair, context):
        group.append(Doubt("sets_or_load"))
    return group if pair.third is None else [*group, pair.third]


def _grams(number: Decimal, context: Context) -> int:
    return grams(number, context.unit)


def _reversed(pair: Pair, context: Context) -> bool:
    """`8x3` where 3 sets of 8 are prescribed."""
    planned = context.prescribed or ()
    if not planned or pair.first == pair.second:
        return False
    return len(planned) == pair.second and all(one.reps == pair.first for one in planned)


def _prescribed_load(pair: Pair, context: Context) -> bool:
    """`20x5` where 5 at 20 is prescribed, and not twenty sets."""
    planned = context.prescribed or ()
    return any(
        one.added_g and amount(one.added_g, context.unit) == pair.first and len(planned) != pair.first
        for one in planned
    )


# @: a load once and alone; ratings where all fit and none is the prescribed load


def _signs(placed: list[Placed], context: Context) -> list[Placed]:
    live = _live(placed)
    signs = [at for at in live if _is_sign(placed[at].item)]
    if not signs:
        return placed
    others = [at for at in live if isinstance(placed[at].item, Load | Times | Unweighted) and at not in signs]
    rated = any(isinstance(placed[at].item, Effort) for at in live)
    out = list(placed)
    for at in _behind_a_load(placed, signs) if not _each_its_own(placed, signs) or others else ():
        out[at] = _as_rating(placed[at])
    left = [at for at in signs if out[at] is placed[at]]
    if others and not rated and _covers_all(placed, signs, others):
        for at in left:
            out[at] = _as_rating(placed[at])
    elif len(left) > 1 and not rated and not others:
        _several(out, left, context)
    return out


def _covers_all(placed: Sequence[Placed], signs: Sequence[int], others: Sequence[int]) -> bool:
    """Another load ahead of every count, or right beside a sign: then the signs rate."""
    counted = [at for at, one in enumerate(placed) if isinstance(one.item, Count | Group | Times) and not one.struck]
    if counted and min(others) < counted[0]:
        return True
    return any(not any(min(sign, at) < count < max(sign, at) for count in counted) for sign in signs for at in others)


def _is_sign(item: Item) -> bool:
    return isinstance(item, Load) and item.by == "sign" and not item.unit_said


def _each_its_own(placed: Sequence[Placed], signs: Sequence[int]) -> bool:
    """Every sign behind a count of its own."""
    return len(signs) > 1 and all(at and isinstance(placed[at - 1].item, Count) for at in signs)


def _behind_a_load(placed: Sequence[Placed], signs: Sequence[int]) -> list[int]:
    """Signs with a load just before: `@10 @8`, `at 15 @9`."""
    found: list[int] = []
    for at in signs:
        before = at - 1
        while before >= 0 and isinstance(placed[before].item, Punct | Said) and before > at - 4:
            before -= 1
        found += [at] if before >= 0 and _is_load(placed[before].item) else []
    return found


def _is_load(item: Item) -> bool:
    return isinstance(item, Load | Unweighted) or (isinstance(item, Times) and item.load is not None)


def _as_rating(one: Placed) -> Placed:
    assert isinstance(one.item, Load)
    return replace(one, item=Effort((rating(one.item.amount, in_reserve=False),)))


def _several(out: list[Placed], signs: Sequence[int], context: Context) -> None:
    amounts = [item.amount for at in signs if isinstance(item := out[at].item, Load)]
    planned = context.prescribed or ()
    usual = {amount(one.added_g, context.unit) for one in planned if one.added_g}
    fitting = [LOWEST_SIGNED <= value <= HIGHEST_SIGNED for value in amounts]
    if any(value in usual for value in amounts) or not any(fitting):
        return
    if not all(fitting):
        out[signs[0]] = replace(out[signs[0]], item=Doubt("ratings_or_loads"))
        return
    if len(set(amounts)) == 1 and _near(amounts[0], planned, context):
        out[signs[0]] = replace(out[signs[0]], item=Doubt("ratings_or_loads"))
        return
    for at in signs:
        out[at] = _as_rating(out[at])


def _near(value: Decimal, planned: Sequence[Set], context: Context) -> bool:
    return any(one.added_g and abs(_grams(value, context) - one.added_g) <= _NEAR_G for one in planned)
