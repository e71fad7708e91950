"""The load by its definition alone: every way to hang each set, every path through them. Small kits only."""

from collections import Counter
from collections.abc import Sequence
from itertools import combinations

from core.kit import Kit

Way = frozenset[tuple[str, int, int]]  # (kind, mass_g, count)


def every_way(kit: Kit) -> set[Way]:
    """Every multiset that chain, rating and the one vest allow."""
    singles = [(p.kind.value, p.mass_g) for p in kit.hung for _ in range(p.count)]
    vests: list[list[tuple[str, int]]] = [[], *([(p.kind.value, p.mass_g)] for p in kit.worn)]
    most = len(singles) if kit.belt.max_pieces is None else kit.belt.max_pieces
    rating = kit.belt.max_load_g
    ways = set()
    for size in range(min(most, len(singles)) + 1):
        for hung in combinations(singles, size):
            if rating is None or sum(mass for _, mass in hung) <= rating:
                for vest in vests:
                    counts = Counter([*hung, *vest])
                    ways.add(frozenset((kind, mass, n) for (kind, mass), n in counts.items()))
    return ways


def total(way: Way) -> int:
    return sum(mass * count for _, mass, count in way)


def size(way: Way) -> int:
    return sum(count for _, _, count in way)


def equal_best(ways: set[Way], target_g: int) -> list[Way]:
    def rank(way: Way) -> tuple[int, int, int]:
        return abs(total(way) - target_g), total(way), size(way)

    least = min(map(rank, ways))
    return [way for way in ways if rank(way) == least]


def distance(before: Way, after: Way) -> int:
    ours = {(kind, mass): count for kind, mass, count in before}
    theirs = {(kind, mass): count for kind, mass, count in after}
    return sum(abs(ours.get(key, 0) - theirs.get(key, 0)) for key in {*ours, *theirs})


def moves_along(path: Sequence[Way]) -> int:
    return sum(distance(before, after) for before, after in zip((frozenset(), *path), path, strict=False))


def fewest(kit: Kit, targets_g: Sequence[int]) -> int:
    """The fewest moves, by trying every path (as layers of least costs)."""
    ways = every_way(kit)
    costs: dict[Way, int] = {frozenset(): 0}
    for target in targets_g:
        costs = {
            after: min(cost + distance(before, after) for before, cost in costs.items())
            for after in equal_best(ways, target)
        }
    return min(costs.values())


def greedy(kit: Kit, targets_g: Sequence[int]) -> list[Way]:
    """A cheat that the laws must catch: heaviest piece that still fits, set by set."""
    path = []
    for target in targets_g:
        left, counts = target, Counter[tuple[str, int]]()
        room = sum(p.count for p in kit.hung) if kit.belt.max_pieces is None else kit.belt.max_pieces
        for piece in sorted(kit.hung, key=lambda piece: -piece.mass_g):
            taken = min(piece.count, left // piece.mass_g, room)
            if taken > 0:
                counts[piece.kind.value, piece.mass_g] += taken
                left, room = left - taken * piece.mass_g, room - taken
        path.append(frozenset((kind, mass, count) for (kind, mass), count in counts.items()))
    return path


def set_by_set(kit: Kit, targets_g: Sequence[int]) -> list[Way]:
    """A cheat: each set exact, and the nearest to the set before, without looking ahead."""
    ways, path = every_way(kit), [Way()]
    for target in targets_g:
        best = sorted(equal_best(ways, target), key=sorted)
        path.append(min(best, key=lambda way: distance(path[-1], way)))
    return path[1:]
