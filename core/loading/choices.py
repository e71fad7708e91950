"""What one target can mean: every equally good way to hang it.

A way is an integer. Slot by slot it has one bit for each piece, and n pieces of a slot set its lowest n bits, so the
pieces moved between two ways are the bits in which they differ.
"""

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from core.loading.stock import Stock, Table

MOST_WAYS = 10_000  # equally good ways kept for one target
WINDOW = 255  # grains to either side of a target that are looked at first
WINDOW_BITS = (4 << (2 * WINDOW)) - 1


class Choices(NamedTuple):
    """The equally good ways, heaviest pieces first; `complete` unless there are more than `MOST_WAYS`."""

    total_g: int
    pieces: int
    ways: tuple[int, ...]
    complete: bool = True


class _Part(NamedTuple):
    """A vest (-1: none) and the grains on the chain beside it; the first three fields tell the better part."""

    off_g: int
    total_g: int
    pieces: int
    vest: int
    grains: int


@lru_cache(maxsize=512)
def choices(stock: Stock, target_g: int, vest: bool, most_g: int | None) -> Choices:
    """The smallest |total - target|; of equals the lighter; of those the fewest pieces; all ways to hang that.

    `vest`: whether one may be worn; `most_g`: what body and anchor leave for all that is added, None for no limit.
    """
    parts = _parts(stock, target_g, vest, most_g)
    best = min(parts)
    ways: list[int] = []
    for part in parts:
        if part[:3] != best[:3]:
            continue
        worn = 0 if part.vest < 0 else 1 << stock.offsets[len(stock.chain) + part.vest]
        on_chain = part.pieces - (part.vest >= 0)
        for way in _ways(stock, part.grains, on_chain):
            if len(ways) == MOST_WAYS:
                return Choices(best.total_g, best.pieces, tuple(ways), complete=False)
            ways.append(way | worn)
    return Choices(best.total_g, best.pieces, tuple(ways))


def _parts(stock: Stock, target_g: int, vest: bool, most_g: int | None) -> list[_Part]:
    """With each vest and with none, the nearest total below and above."""
    parts = []
    for worn in range(-1, len(stock.vests) if vest else 0):
        worn_g = 0 if worn < 0 else stock.vests[worn].mass_g
        left_g = stock.limit_g if most_g is None else min(stock.limit_g, most_g - worn_g)
        if left_g < 0:
            continue
        for grains in _nearest(stock, target_g - worn_g, left_g):
            pieces = int(worn >= 0)
            for layer in stock.layers:
                if layer >> grains & 1:
                    break
                pieces += 1
            total_g = worn_g + grains * stock.grain_g
            parts.append(_Part(abs(total_g - target_g), total_g, pieces, worn, grains))
    return parts


def _nearest(stock: Stock, wanted_g: int, limit_g: int) -> list[int]:
    """The totals of the chain, in grains, next to `wanted_g`: at or below it, and above."""
    floor = max(wanted_g, 0) // stock.grain_g
    start = max(floor - WINDOW, 0)
    near = stock.totals >> start & WINDOW_BITS
    below, above = near & ((2 << (floor - start)) - 1), near >> (floor - start + 1)
    if limit_g < stock.limit_g or not (below and above):
        return _far(stock, floor, limit_g)
    return [start + below.bit_length() - 1, floor + (above & -above).bit_length()]


def _far(stock: Stock, floor: int, limit_g: int) -> list[int]:
    """As `_nearest`, looking at all the totals up to the limit."""
    totals = stock.totals if limit_g >= stock.limit_g else stock.totals & ((2 << limit_g // stock.grain_g) - 1)
    above = totals >> (floor + 1)
    found = [(totals & ((2 << floor) - 1)).bit_length() - 1]  # 0 at the least: nothing hung
    if above:
        found.append(floor + (above & -above).bit_length())
    return found


def _ways(stock: Stock, grains: int, pieces: int) -> Iterator[int]:
    """Every multiset of exactly `pieces` with this total, heaviest pieces first."""
    return _down(stock, stock.table(pieces, grains), 0, grains, pieces)


def _down(stock: Stock, table: Table, slot: int, left: int, free: int) -> Iterator[int]:
    """The ways to fill `left` grains with `free` pieces from `slot` on; the table leaves no dead end to try."""
    if free == 0:
        yield 0
        return
    if free <= 2:
        yield from _one(stock, slot, left) if free == 1 else _two(stock, slot, left)
        return
    while slot < len(stock.chain):
        step = stock.steps[slot]
        for taken in range(min(stock.chain[slot].copies, free, left // step), 0, -1):
            rest = left - taken * step
            if table[slot + 1][free - taken] >> rest & 1:
                here = ((1 << taken) - 1) << stock.offsets[slot]
                for way in _down(stock, table, slot + 1, rest, free - taken):
                    yield here | way
        slot += 1
        if not table[slot][free] >> left & 1:
            return


def _one(stock: Stock, slot: int, left: int) -> Iterator[int]:
    """The single pieces from `slot` on that weigh `left` grains."""
    for place in range(slot, len(stock.chain)):
        if stock.steps[place] == left:
            yield 1 << stock.offsets[place]


def _two(stock: Stock, slot: int, left: int) -> Iterator[int]:
    """The pairs from `slot` on that weigh `left` grains; slots of equal mass differ in kind and stand side by side."""
    steps, places = stock.steps, stock.offsets
    for first in range(slot, len(steps)):
        other = left - steps[first]
        if other > steps[first]:
            continue
        if other == steps[first] and stock.chain[first].copies > 1:
            yield 3 << places[first]
        for second in stock.by_step.get(other, ()):
            if second > first:
                yield 1 << places[first] | 1 << places[second]


@lru_cache(maxsize=512)
def least_moves(stock: Stock, before: tuple[int, int], after: tuple[int, int]) -> int:
    """Moves that certainly lie between a hang of (total_g, pieces) and another.

    Taking off r pieces and putting on s changes the total by what s pieces weigh less what r weigh; the least r for
    which the layers have such a pair is a bound, whichever ways are meant.
    """
    more = after[1] - before[1]
    for off in range(max(0, -more), before[1] + 1):
        if _swap(stock, off, off + more, after[0] - before[0]):
            return 2 * off + more
    return 2 * before[1] + more


def _swap(stock: Stock, off: int, on: int, change_g: int) -> bool:
    """Whether some `on` pieces weigh `change_g` more than some `off` pieces, a vest among either or none."""
    worn = (None, *(vest.mass_g for vest in stock.vests))
    for out in worn:
        for put in worn:
            shift_g = (0 if out is None else out) + change_g - (0 if put is None else put)
            from_chain, to_chain = off - (out is not None), on - (put is not None)
            if shift_g % stock.grain_g == 0 and _meet(stock, from_chain, to_chain, shift_g // stock.grain_g):
                return True
    return False


def _meet(stock: Stock, off: int, on: int, shift: int) -> bool:
    """Whether `on` pieces of the chain make a total `shift` grains above one that `off` make."""
    found = stock.layers
    if not (0 <= off < len(found) and 0 <= on < len(found)):
        return False
    return bool(found[on] & (found[off] << shift if shift >= 0 else found[off] >> -shift))
