"""A kit as the loader sees it: alike pieces in one slot, and every total they can make, as bit sets.

A bit set is an integer whose bit n stands for the total n x `grain_g`. Layer k holds the totals that exactly k
pieces make; adding a piece is a shift, so a kit of 40 pieces costs some hundred shifts whatever its masses.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate
from math import gcd

from core.kit import KINDS, Kind, Kit, Piece

MOST_HUNG_G = 500_000  # no belt carries more; keeps the bit sets small


@dataclass(frozen=True, slots=True)
class Slot:
    """`count` pieces that are alike to the loader: one kind, one mass."""

    kind: Kind
    mass_g: int
    count: int


@dataclass(frozen=True, slots=True)
class Stock:
    """Slots of the chain, heaviest first, and the vests, lightest first; the chain takes `most` up to `limit_g`."""

    chain: tuple[Slot, ...]
    vests: tuple[Slot, ...]
    most: int
    limit_g: int

    @property
    def grain_g(self) -> int:
        """The largest mass that divides every piece of the chain."""
        return gcd(*(slot.mass_g for slot in self.chain)) if self.chain else 1

    @property
    def limit(self) -> int:
        """`limit_g` in grains."""
        return self.limit_g // self.grain_g

    def grains(self, slot: Slot) -> int:
        return slot.mass_g // self.grain_g


@lru_cache(maxsize=256)
def stock_of(kit: Kit) -> Stock:
    """The kit as stock. A chain without a stated number of places takes every piece."""
    chain, vests = _slots(kit.hung), _slots(kit.worn)
    pieces = sum(slot.count for slot in chain)
    most = pieces if kit.belt.max_pieces is None else min(pieces, kit.belt.max_pieces)
    heaviest = sorted((slot.mass_g for slot in chain for _ in range(slot.count)), reverse=True)[:most]
    rating = MOST_HUNG_G if kit.belt.max_load_g is None else kit.belt.max_load_g
    return Stock(chain, vests[::-1], most, min(rating, sum(heaviest), MOST_HUNG_G))


def _slots(pieces: tuple[Piece, ...]) -> tuple[Slot, ...]:
    counts: dict[tuple[int, int], int] = {}
    order = tuple(kind.kind for kind in KINDS)
    for piece in pieces:
        key = (-piece.mass_g, order.index(piece.kind))
        counts[key] = counts.get(key, 0) + piece.count
    return tuple(Slot(order[kind], -mass, count) for (mass, kind), count in sorted(counts.items()))


@lru_cache(maxsize=256)
def layers(stock: Stock) -> tuple[int, ...]:
    """For k = 0 … `most`, the totals that exactly k pieces of the chain make within its limit."""
    keep = (1 << (stock.limit + 1)) - 1
    found = [1] + [0] * stock.most
    used = 0
    for slot in stock.chain:
        for _ in range(slot.count):
            used = min(used + 1, stock.most)
            for k in range(used, 0, -1):
                found[k] |= (found[k - 1] << stock.grains(slot)) & keep
    return tuple(found)


@lru_cache(maxsize=256)
def upto(stock: Stock) -> tuple[int, ...]:
    """For k = 0 … `most`, the totals that k pieces or fewer make."""
    return tuple(accumulate(layers(stock), int.__or__))


@lru_cache(maxsize=16)
def suffixes(stock: Stock, most: int, limit: int) -> tuple[tuple[int, ...], ...]:
    """For each slot, the layers 0 … `most` of that slot and all after it, totals up to `limit` grains."""
    keep = (1 << (limit + 1)) - 1
    table = [(1, *(0 for _ in range(most)))]
    for slot in reversed(stock.chain):
        below, step = table[-1], stock.grains(slot)
        rows = list(below)
        for taken in range(1, min(slot.count, most) + 1):
            for k in range(taken, most + 1):
                rows[k] |= (below[k - taken] << (taken * step)) & keep
        table.append(tuple(rows))
    return tuple(reversed(table))


def bits(mask: int) -> list[int]:
    """The places of the set bits, ascending."""
    return [place for place, bit in enumerate(bin(mask)[:1:-1]) if bit == "1"]
