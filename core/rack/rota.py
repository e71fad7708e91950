"""What hangs where in each round: the nearest for everybody, no piece in two places, few moves.

The rounds are fixed first (`lanes`); loads are then chosen round by round, a handful of the best states kept.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations, groupby, islice, permutations

from core.kit import Kind
from core.loading.choices import choices
from core.loading.stock import Stock, stock_of
from core.rack.lanes import Seating, deal, seated
from core.rack.night import Guest, Load, Room, Rota, Turn, mass_of, moved

MOST_SWAPS = 400  # seatings tried
KEPT = 10  # states followed from round to round
ORDERS = 6  # orders in which the bars of one round choose
WAYS = 3  # equally good ways tried for one belt, those with the fewest moves


@dataclass(frozen=True, slots=True)
class _State:
    """The belts (by bar) after some rounds, what it has cost, and the loads of the turns so far."""

    belts: tuple[Load, ...]
    off_g: int = 0
    moves: int = 0
    loads: tuple[Load, ...] = ()

    @property
    def cost(self) -> tuple[int, int]:
        return self.off_g, self.moves


def share(guests: Sequence[Guest], room: Room) -> Rota:
    """A rota for the night: a first seating, bettered by swaps of two. Raises `BadInput` where it cannot be."""
    seating = seated(guests, room)
    best = loaded(deal(seating, room.kit), room)
    tried = 0
    bettered = True
    while bettered and tried < MOST_SWAPS:
        bettered = False
        for other in islice(_swaps(seating, room), MOST_SWAPS - tried):
            tried += 1
            rota = loaded(deal(other, room.kit), room)
            if _cost(rota) < _cost(best):
                seating, best, bettered = other, rota, True
                break
    return best


def _cost(rota: Rota) -> tuple[int, int, int]:
    return rota.off_g, rota.rounds, rota.moves


def _swaps(seating: Seating, room: Room) -> Iterator[Seating]:
    """The seatings with two guests in each other's place, nobody with a load at a bar without a belt."""
    seats = [(bar, guest) for bar, lane in enumerate(seating) for block in lane for guest in block]
    for (bar, one), (other_bar, other) in combinations(seats, 2):
        fits = all(guest.usual_g == 0 or place < room.belts for place, guest in ((bar, other), (other_bar, one)))
        if fits:
            change = {one.name: other, other.name: one}
            yield tuple(
                tuple(tuple(change.get(guest.name, guest) for guest in block) for block in lane) for lane in seating
            )


def loaded(turns: Sequence[Turn], room: Room) -> Rota:
    """The turns with their loads."""
    states = [_State(tuple(() for _ in range(room.bars)))]
    for _, group in groupby(turns, key=lambda turn: turn.round):
        states = _best(_after(states, list(group), room))
    best = states[0]
    return Rota(tuple(replace(turn, load=load) for turn, load in zip(turns, best.loads, strict=True)), best.moves)


def _best(states: Iterable[_State]) -> list[_State]:
    """The cheapest few, the cheapest of those with the same belts."""
    cheapest: dict[tuple[Load, ...], _State] = {}
    for state in states:
        known = cheapest.get(state.belts)
        if known is None or state.cost < known.cost:
            cheapest[state.belts] = state
    return sorted(cheapest.values(), key=lambda state: (state.cost, state.belts))[:KEPT]


def _after(states: Sequence[_State], now: Sequence[Turn], room: Room) -> Iterator[_State]:
    """The states that a round leads to, from each state, the bars choosing in each of some orders."""
    loaded = [turn for turn in now if turn.want.added_g]
    for state in states:
        for order in islice(permutations(loaded), ORDERS):
            for given in _give(stock_of(room.kit), state, order, {}):
                yield _settled(stock_of(room.kit), state, now, given)


def _give(stock: Stock, state: _State, order: Sequence[Turn], given: dict[int, Load]) -> Iterator[dict[int, Load]]:
    """Loads by bar for these turns, each from what the ones before it left."""
    if not order:
        yield given
        return
    turn, rest = order[0], order[1:]
    for load in _nearest(stock, turn.want.added_g, state.belts[turn.bar - 1]):
        yield from _give(less(stock, load), state, rest, given | {turn.bar: load})


def _nearest(stock: Stock, target_g: int, before: Load) -> list[Load]:
    return sorted(loads_for(stock, target_g), key=lambda load: (moved(before, load), load))[:WAYS]


@lru_cache(maxsize=256)
def loads_for(stock: Stock, target_g: int) -> tuple[Load, ...]:
    """The equally good ways to hang a target, as loads."""
    found = choices(stock, target_g, True, None)
    return tuple(_load(stock, way) for way in found.ways)


def _load(stock: Stock, way: int) -> Load:
    taken = (
        (slot.kind, slot.mass_g, (way >> place & ((1 << slot.copies) - 1)).bit_count())
        for slot, place in zip(stock.slots, stock.offsets, strict=True)
    )
    return tuple(sorted(piece for piece in taken if piece[2]))


@lru_cache(maxsize=256)
def less(stock: Stock, load: Load) -> Stock:
    """The stock without these pieces."""
    gone = {(kind, mass): count for kind, mass, count in load}
    chain, vests = (
        tuple(
            slot._replace(copies=slot.copies - gone.get((slot.kind, slot.mass_g), 0))
            for slot in group
            if slot.copies > gone.get((slot.kind, slot.mass_g), 0)
        )
        for group in (stock.chain, stock.vests)
    )
    most = min(stock.most, sum(slot.copies for slot in chain))
    return replace(stock, chain=chain, vests=vests, most=most)


def _settled(stock: Stock, state: _State, now: Sequence[Turn], given: dict[int, Load]) -> _State:
    """The belts after the round: an idle one keeps its pieces but for those that others need."""
    left = Counter({(slot.kind, slot.mass_g): slot.copies for slot in stock.slots})
    for load in given.values():
        left.subtract({(kind, mass): count for kind, mass, count in load})
    belts = []
    for bar, belt in enumerate(state.belts, 1):
        kept = given[bar] if bar in given else _kept(belt, left)
        if bar not in given:
            left.subtract({(kind, mass): count for kind, mass, count in kept})
        belts.append(kept)
    loads = tuple(given.get(turn.bar, ()) for turn in now)
    off_g = sum(abs(mass_of(load) - turn.want.added_g) for turn, load in zip(now, loads, strict=True))
    moves = sum(moved(before, after) for before, after in zip(state.belts, belts, strict=True))
    return _State(tuple(belts), state.off_g + off_g, state.moves + moves, state.loads + loads)


def _kept(belt: Load, left: Counter[tuple[Kind, int]]) -> Load:
    kept = ((kind, mass, min(count, left[kind, mass])) for kind, mass, count in belt)
    return tuple(piece for piece in kept if piece[2] > 0)
