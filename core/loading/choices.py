"""What one target can mean: every equally good way to hang it.

A way is an integer. Slot by slot it has one bit for each piece, and n pieces of a slot set its lowest n bits, so the
pieces moved between two ways are the bits in which they differ.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from core.loading.stock import Slot, Stock, layers, suffixes, upto

MOST_WAYS = 10_000  # equally good ways kept for one target


@dataclass(frozen=True, slots=True)
class Choices:
    """The equally good ways, heaviest pieces first; `complete` unless there are more than `MOST_WAYS`."""

    total_g: int
    pieces: int
    ways: tuple[int, ...]
    complete: bool = True


@dataclass(frozen=True, slots=True)
class _Part:
    """A vest (None: none) and the grains and pieces on the chain beside it."""

    total_g: int
    pieces: int
    vest: int | None
    grains: int


def slots(stock: Stock) -> tuple[Slot, ...]:
    """Chain and vests in the order of their bits."""
    return (*stock.chain, *stock.vests)


@lru_cache(maxsize=256)
def offsets(stock: Stock) -> tuple[int, ...]:
    """The lowest bit of each slot."""
    places, bit = [], 0
    for slot in slots(stock):
        places.append(bit)
        bit += slot.count
    return tuple(places)


@lru_cache(maxsize=4096)
def choices(stock: Stock, target_g: int, vest: bool, most_g: int | None) -> Choices:
    """The smallest |total - target|; of equals the lighter; of those the fewest pieces; all ways to hang that.

    `vest`: whether one may be worn; `most_g`: what body and anchor leave for all that is added, None for no limit.
    """
    parts = _best(list(_parts(stock, target_g, vest, most_g)), target_g)
    ways: list[int] = []
    for part in parts:
        worn = 0 if part.vest is None else 1 << offsets(stock)[len(stock.chain) + part.vest]
        on_chain = part.pieces - (part.vest is not None)
        for way in _ways(stock, part.grains, on_chain):
            if len(ways) == MOST_WAYS:
                return Choices(part.total_g, part.pieces, tuple(ways), complete=False)
            ways.append(way | worn)
    return Choices(parts[0].total_g, parts[0].pieces, tuple(ways))


def _parts(stock: Stock, target_g: int, vest: bool, most_g: int | None) -> Iterator[_Part]:
    """With each vest and with none, the nearest total below and above."""
    for worn in (None, *range(len(stock.vests))) if vest else (None,):
        worn_g = 0 if worn is None else stock.vests[worn].mass_g
        left_g = stock.limit_g if most_g is None else min(stock.limit_g, most_g - worn_g)
        if left_g < 0:
            continue
        for grains in _nearest(stock, target_g - worn_g, left_g):
            pieces = next(k for k, layer in enumerate(layers(stock)) if layer >> grains & 1)
            yield _Part(worn_g + grains * stock.grain_g, pieces + (worn is not None), worn, grains)


def _nearest(stock: Stock, wanted_g: int, limit_g: int) -> Iterator[int]:
    """The totals of the chain, in grains, next to `wanted_g`: at or below it, and above."""
    totals = upto(stock)[-1] & ((2 << (limit_g // stock.grain_g)) - 1)
    floor = max(wanted_g, 0) // stock.grain_g
    below, above = totals & ((2 << floor) - 1), totals >> (floor + 1)
    if below:
        yield below.bit_length() - 1
    if above:
        yield floor + (above & -above).bit_length()


def _best(parts: list[_Part], target_g: int) -> list[_Part]:
    def rank(part: _Part) -> tuple[int, int, int]:
        return abs(part.total_g - target_g), part.total_g, part.pieces

    least = min(rank(part) for part in parts)
    return [part for part in parts if rank(part) == least]


def _ways(stock: Stock, grains: int, pieces: int) -> Iterator[int]:
    """Every multiset of exactly `pieces` with this total; the suffix layers leave no dead end to try."""
    limit = 1 << grains.bit_length()  # rounded up, so that one table serves many targets
    table, places = suffixes(stock, pieces, limit), offsets(stock)

    def down(slot: int, left: int, free: int) -> Iterator[int]:
        if free == 0:
            yield 0
            return
        step = stock.grains(stock.chain[slot])
        for taken in range(min(stock.chain[slot].count, free, left // step), -1, -1):
            if table[slot + 1][free - taken] >> (left - taken * step) & 1:
                here = ((1 << taken) - 1) << places[slot]
                for rest in down(slot + 1, left - taken * step, free - taken):
                    yield here | rest

    return down(0, grains, pieces)


@lru_cache(maxsize=4096)
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
    found = layers(stock)
    if not (0 <= off < len(found) and 0 <= on < len(found)):
        return False
    return bool(found[on] & (found[off] << shift if shift >= 0 else found[off] >> -shift))
