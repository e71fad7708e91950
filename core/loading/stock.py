"""A kit as the loader sees it: alike pieces in one slot, and every total they can make, as bit sets.

A bit set is an integer whose bit n stands for the total n x `grain_g`. Layer k holds the totals that exactly k
pieces make; adding a piece is a shift, so a kit of 40 pieces costs some hundred shifts whatever its masses.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import accumulate
from math import gcd
from typing import NamedTuple

from core.kit import KINDS, Kind, Kit, Piece

MOST_HUNG_G = 500_000  # no belt carries more; keeps the bit sets small
MOST_KEPT = 16_000_000  # bits of a whole table that is kept with its stock; a larger one is made for each target
ORDER = {kind.kind: place for place, kind in enumerate(KINDS)}
Table = Sequence[Sequence[int]]  # for each slot, and after the last: layers of that slot and all after it


class Slot(NamedTuple):
    """`copies` pieces that are alike to the loader: one kind, one mass."""

    kind: Kind
    mass_g: int
    copies: int


@dataclass(frozen=True, eq=False)
class Stock:
    """Slots of the chain, heaviest first, and the vests, lightest first; the chain takes `most` up to `limit_g`.

    Compared by identity, so that what is worked out for a stock is found again at once.
    """

    chain: tuple[Slot, ...]
    vests: tuple[Slot, ...]
    most: int
    limit_g: int

    @cached_property
    def grain_g(self) -> int:
        """The largest mass that divides every piece of the chain."""
        return gcd(*(slot.mass_g for slot in self.chain)) if self.chain else 1

    @cached_property
    def steps(self) -> tuple[int, ...]:
        """The mass of each slot of the chain in grains."""
        return tuple(slot.mass_g // self.grain_g for slot in self.chain)

    @cached_property
    def by_step(self) -> dict[int, list[int]]:
        """The places on the chain of each mass in grains."""
        found: dict[int, list[int]] = {}
        for place, step in enumerate(self.steps):
            found.setdefault(step, []).append(place)
        return found

    @cached_property
    def slots(self) -> tuple[Slot, ...]:
        """Chain and vests in the order of their bits."""
        return self.chain + self.vests

    @cached_property
    def offsets(self) -> tuple[int, ...]:
        """The lowest bit of each slot."""
        return tuple(accumulate((slot.copies for slot in self.slots), initial=0))[:-1]

    @cached_property
    def slot_of_bit(self) -> tuple[tuple[Slot, int], ...]:
        """For each bit of a way its slot, and the lowest bit of that slot."""
        pairs = zip(self.slots, self.offsets, strict=True)
        return tuple([(slot, place) for slot, place in pairs for _ in range(slot.copies)])

    @cached_property
    def layers(self) -> Sequence[int]:
        """For k = 0 … `most`, the totals that exactly k pieces of the chain make within its limit."""
        if self._table is not None:
            return self._table[0]
        return _last(self, self.most, self.limit_g // self.grain_g)

    @cached_property
    def totals(self) -> int:
        """Every total of the chain."""
        found = 0
        for layer in self.layers:
            found |= layer
        return found

    @cached_property
    def _table(self) -> Table | None:
        limit = self.limit_g // self.grain_g
        if len(self.chain) * (self.most + 1) * limit > MOST_KEPT:
            return None
        return _table(self, self.most, limit)

    def table(self, pieces: int, grains: int) -> Table:
        """Layers 0 … `pieces` at least, for totals up to `grains` at least."""
        return _table(self, pieces, grains) if self._table is None else self._table


@lru_cache(maxsize=128)
def stock_of(kit: Kit) -> Stock:
    """The kit as stock. A chain without a stated number of places takes every piece."""
    chain, vests = _slots(kit.hung), _slots(kit.worn)
    pieces = sum([slot.copies for slot in chain])
    most = pieces if kit.belt.max_pieces is None else min(pieces, kit.belt.max_pieces)
    rating = MOST_HUNG_G if kit.belt.max_load_g is None else kit.belt.max_load_g
    return Stock(chain, vests[::-1], most, min(rating, _heaviest(chain, most), MOST_HUNG_G))


def _heaviest(chain: Sequence[Slot], most: int) -> int:
    """What the `most` heaviest pieces weigh."""
    mass_g = 0
    for slot in chain:
        taken = min(slot.copies, most)
        mass_g, most = mass_g + taken * slot.mass_g, most - taken
    return mass_g


def _slots(pieces: tuple[Piece, ...]) -> tuple[Slot, ...]:
    """Alike pieces together, heaviest first."""
    counts: dict[tuple[int, int, Kind], int] = {}
    for piece in pieces:
        key = (-piece.mass_g, ORDER[piece.kind], piece.kind)
        counts[key] = counts.get(key, 0) + piece.count
    return tuple([Slot(kind, -mass, count) for (mass, _, kind), count in sorted(counts.items())])


def _grow(below: Sequence[int], step: int, count: int, keep: int) -> list[int]:
    """The layers with `count` more pieces of `step` grains."""
    if count == 1:
        return [1, *[same | (fewer << step) & keep for same, fewer in zip(below[1:], below, strict=False)]]
    rows = list(below)
    for taken in range(1, min(count, len(below) - 1) + 1):
        shift = taken * step
        for k in range(taken, len(below)):
            if below[k - taken]:
                rows[k] |= (below[k - taken] << shift) & keep
    return rows


def _table(stock: Stock, most: int, limit: int) -> Table:
    keep = (2 << limit) - 1
    rows = [1] + [0] * most
    table = [rows]
    for slot, step in zip(reversed(stock.chain), reversed(stock.steps), strict=True):
        rows = _grow(rows, step, slot.copies, keep)
        table.append(rows)
    return table[::-1]


def _last(stock: Stock, most: int, limit: int) -> Sequence[int]:
    """The first rows of the table, without keeping the others."""
    keep = (2 << limit) - 1
    rows = [1] + [0] * most
    for slot, step in zip(stock.chain, stock.steps, strict=True):
        rows = _grow(rows, step, slot.copies, keep)
    return rows


def bits(mask: int) -> list[int]:
    """The places of the set bits, ascending."""
    return [place for place, bit in enumerate(bin(mask)[:1:-1]) if bit == "1"]
