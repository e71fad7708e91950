"""The fewest moves over a session: a shortest path through the equally good ways of each set."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from heapq import heappop, heappush
from itertools import count

from core.loading.choices import Choices

MOST_WORK = 4_000_000  # pairs of ways compared before the search settles for a good path; under a second
Bound = Callable[[Choices, Choices], int]


@dataclass(frozen=True, slots=True)
class Stage:
    """The equally good ways of one set and what each costs in taste (compared only at equal moves)."""

    found: Choices
    taste: tuple[int, ...] | None = None

    @property
    def ways(self) -> tuple[int, ...]:
        return self.found.ways

    def dislike(self, place: int) -> int:
        return 0 if self.taste is None else self.taste[place]


@dataclass(frozen=True, slots=True)
class Path:
    """One way for each stage; `least`: proven to have the fewest moves."""

    ways: tuple[int, ...]
    moves: int
    least: bool


def fewest_moves(stages: Sequence[Stage], bound: Bound, most_work: int = MOST_WORK) -> Path:
    """The path with the fewest moves from the empty belt, then of least dislike, then first in the stages' order.

    `bound`: moves that one set's choices certainly need to become another's; `most_work`: pairs of ways compared.
    """
    if len(stages) == 1 and stages[0].taste is None:
        return Path(stages[0].ways[:1], stages[0].found.pieces, least=True)
    merged, lengths = _merged(stages)
    ahead = _ahead(merged, bound)
    ways, searched = _search(merged, ahead, most_work)
    spread = tuple(way for way, length in zip(ways, lengths, strict=True) for _ in range(length))
    moves = moves_of(spread)
    whole = searched and all(stage.found.complete for stage in merged)
    return Path(spread, moves, whole or moves == ahead[0])


def moves_of(ways: Sequence[int]) -> int:
    """Pieces put on or taken off, from the empty belt through every set."""
    return sum((before ^ after).bit_count() for before, after in zip((0, *ways), ways, strict=False))


def _merged(stages: Sequence[Stage]) -> tuple[list[Stage], list[int]]:
    """Neighbours with the same ways as one: by the triangle inequality nothing is gained by moving between them."""
    merged: list[Stage] = []
    lengths: list[int] = []
    for stage in stages:
        if merged and merged[-1] == stage:
            lengths[-1] += 1
        else:
            merged.append(stage)
            lengths.append(1)
    weighed = [
        replace(stage, taste=tuple(length * dislike for dislike in stage.taste)) if stage.taste else stage
        for stage, length in zip(merged, lengths, strict=True)
    ]
    return weighed, lengths


def _search(stages: Sequence[Stage], ahead: Sequence[int], most_work: int) -> tuple[tuple[int, ...], bool]:
    """A* over (stage, way), deepest first among equals; a cost is moves x `scale` + dislike."""
    if not stages:
        return (), True
    scale = 1 + sum(max(stage.taste, default=0) for stage in stages if stage.taste)
    seen: list[dict[int, tuple[int, int]]] = [{} for _ in stages]  # way -> (cost, way before)
    queue, serial, work = [(scale * ahead[0], 0, 0, 0, 0)], count(1), 0
    while queue:
        _, depth, _, cost, way = heappop(queue)
        stage = -depth  # how many stages are settled
        if stage == len(stages):
            return _back(seen, way), True
        if stage and seen[stage - 1][way][0] < cost:
            continue
        work += len(stages[stage].ways)
        if work > most_work:
            return _greedy(stages[stage:], _back(seen[:stage], way)), False
        for place, after in enumerate(stages[stage].ways):
            reached = cost + scale * (way ^ after).bit_count() + stages[stage].dislike(place)
            known = seen[stage].get(after)
            if known is None or reached < known[0]:
                seen[stage][after] = (reached, way)
                heappush(queue, (reached + scale * ahead[stage + 1], -stage - 1, next(serial), reached, after))
    raise AssertionError("every stage has a way")


def _ahead(stages: Sequence[Stage], bound: Bound) -> list[int]:
    """For each stage, moves that are certainly still needed before it and after it to the end."""
    needed = [0]
    for before, after in zip(reversed(stages[:-1]), reversed(stages), strict=False):
        needed.append(needed[-1] + bound(before.found, after.found))
    return [needed[-1] + (stages[0].found.pieces if stages else 0), *reversed(needed)]


def _back(seen: Sequence[dict[int, tuple[int, int]]], way: int) -> tuple[int, ...]:
    path = []
    for stage in reversed(seen):
        path.append(way)
        way = stage[way][1]
    return tuple(reversed(path))


def _greedy(stages: Sequence[Stage], path: tuple[int, ...]) -> tuple[int, ...]:
    """The rest of the way, each set by the nearest."""
    for stage in stages:
        last = path[-1] if path else 0
        near = [(way ^ last).bit_count() for way in stage.ways]
        path = (*path, stage.ways[near.index(min(near))])
    return path
