"""Loads, steps and the shared rack against the clock. `python -m tests.bench.loading`; needs OR-Tools (extra `solver`).

One target of one kit is also put to a constraint solver, as a whole: nearest, then lighter, then fewest pieces.
"""

import time
from collections.abc import Callable
from random import Random
from statistics import median
from typing import Any

from core.kit import Band, Belt, Guess, Kettlebell, Kit, Piece, Plate, Readings
from core.loading import _stamps, hangable, load
from core.loading.choices import choices, least_moves
from core.loading.stock import stock_of
from core.rack import Guest, Room, Want, share
from core.rack.solver import distance
from core.steps import helps, steps

CACHES = (stock_of, _stamps, choices, least_moves, hangable, helps)
BANDS = tuple(
    Band(label, Readings(hang, hang // 2)) for label, hang in (("amber", 24_000), ("slate", 16_000), ("plum", 9_000))
)


def forget() -> None:
    """As in a new process: nothing is known of any kit."""
    for cached in CACHES:
        cached.cache_clear()


def seconds(act: Callable[[], Any], rounds: int, cold: bool) -> float:
    """The median time of an act, each time from nothing where `cold`."""
    times = []
    for _ in range(rounds):
        if cold:
            forget()
        start = time.perf_counter()
        act()
        times.append(time.perf_counter() - start)
    return median(times)


def bag(pieces: int, seed: int, grain_g: int = 250) -> Kit:
    """`pieces` pieces of unlike masses up to 25 kg, five on the chain."""
    masses = Random(seed).sample(range(grain_g * 2, 25_000, grain_g), pieces)
    made: tuple[Piece, ...] = tuple(Kettlebell(m) if n % 5 == 4 else Plate(m) for n, m in enumerate(masses))
    return Kit(belt=Belt(5, 60_000), pieces=made)


Answer = tuple[int, int, int]  # |total - target|, total, pieces


def by_solver(kit: Kit, target_g: int) -> tuple[Answer, float, float]:
    """The answer of CP-SAT; the seconds it took as one weighed sum, and as three solves one after another."""
    weighed, took = _solved(kit, target_g, one_sum=True)
    in_turn, longer = _solved(kit, target_g, one_sum=False)
    assert weighed == in_turn
    return weighed, took, longer


def _solved(kit: Kit, target_g: int, one_sum: bool) -> tuple[Answer, float]:
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    taken = [model.new_int_var(0, piece.count, f"n{place}") for place, piece in enumerate(kit.pieces)]
    total = sum(piece.mass_g * count for piece, count in zip(kit.pieces, taken, strict=True))
    off = model.new_int_var(0, 500_000, "off")
    model.add(sum(taken) <= (kit.belt.max_pieces or len(taken)))
    model.add(total <= (kit.belt.max_load_g or 500_000))
    model.add(total - target_g <= off)
    model.add(target_g - total <= off)
    solver = cp_model.CpSolver()  # as it comes
    start = time.perf_counter()
    for aim in (off * 100_000_000 + total * 100 + sum(taken),) if one_sum else (off, total, sum(taken)):
        model.minimize(aim)
        assert solver.solve(model) == cp_model.OPTIMAL
        if not one_sum:
            model.add(aim == round(solver.objective_value))
    took = time.perf_counter() - start
    hung = [solver.value(count) for count in taken]
    mass = sum(piece.mass_g * count for piece, count in zip(kit.pieces, hung, strict=True))
    return (abs(mass - target_g), mass, sum(hung)), took


def against_the_solver() -> None:
    for name, grain in (("quarter kilograms", 250), ("weighed to the gram", 1)):
        kit, random = bag(18, 1, grain), Random(2)
        targets = [random.randrange(2000, 60_000) for _ in range(12)]
        same, times = 0, []
        for target in targets:
            answer, one_sum, in_turn = by_solver(kit, target)
            one = load([target], kit).sets[0]
            same += answer == (abs(one.total_g - target), one.total_g, sum(piece.count for piece in one.pieces))
            new = seconds(lambda kit=kit, target=target: load([target], kit), 9, cold=True)
            known = seconds(lambda kit=kit, target=target: (choices.cache_clear(), load([target], kit)), 99, cold=False)
            times.append((one_sum, in_turn, new, known))
        one_sum, in_turn, new, known = (median(column) for column in zip(*times, strict=True))
        print(f"one target, 18 pieces in {name}, 5 on the chain: same optimum as CP-SAT in {same} of {len(targets)}")
        print(f"  CP-SAT {one_sum * 1e3:.1f} ms (three solves in turn {in_turn * 1e3:.1f} ms);"
              f" ours {new * 1e6:.0f} us with a new kit, {known * 1e6:.0f} us with a known one")  # fmt: skip
        print(f"  times faster: {one_sum / new:.0f} ({in_turn / new:.0f}) with a new kit,"
              f" {one_sum / known:.0f} ({in_turn / known:.0f}) with a known one")  # fmt: skip


def a_session() -> None:
    for name, grain in (("quarter kilograms", 250), ("weighed to the gram", 1)):
        kit, random = bag(40, 3, grain), Random(4)
        targets = [random.randrange(0, 60_000, grain) for _ in range(10)]
        took = seconds(lambda kit=kit, targets=targets: load(targets, kit), 9, cold=True)
        hang = load(targets, kit)
        print(f"ten sets, 40 pieces in {name}: {took * 1e3:.1f} ms, {hang.moves} moves, proven {hang.least}")


def growth() -> None:
    print("growth with pieces (ten sets, quarter kilograms, new kit):")
    for pieces in (5, 10, 20, 40, 80):
        kit, random = bag(pieces, 5), Random(6)
        targets = [random.randrange(0, 60_000, 250) for _ in range(10)]
        print(f"  {pieces:3d} pieces {seconds(lambda kit=kit, t=targets: load(t, kit), 7, cold=True) * 1e3:7.2f} ms")


def the_ladder() -> None:
    for name, grain in (("quarter kilograms", 250), ("weighed to the gram", 1)):
        plain = bag(40, 7, grain)
        kit = Kit(belt=plain.belt, pieces=plain.pieces, bands=BANDS)
        took = seconds(lambda kit=kit: steps(kit, 80_000), 3, cold=True)
        print(f"steps of 3 bands x 40 pieces in {name} x 5: {len(steps(kit, 80_000))} in {took * 1e3:.0f} ms")


def the_rack() -> None:
    pieces = (
        *(Plate(mass, 2) for mass in (1250, 2500, 5000, 10_000)),
        Plate(20_000),
        *map(Kettlebell, (8000, 12_000, 16_000)),
    )
    kit = Kit(
        belt=Belt(5, 60_000), pieces=pieces, bands=(Band("amber", Guess(18_000)), Band("slate", Guess(12_000), 2))
    )
    room = Room(kit, bars=2, belts=2)
    for seed in (1, 2, 3):
        random = Random(seed)
        loads = [Want(random.randrange(2500, 25_000, 1250)) for _ in range(5)]
        wants = [*loads, *(Want(bands=(label,)) for label in ("amber", "slate", "slate"))]
        guests = tuple(Guest(f"g{n}", (want,) * 4) for n, want in enumerate(wants))
        took = seconds(lambda guests=guests: share(guests, room), 3, cold=True)
        far = distance(share(guests, room), guests, room, seconds=15)
        print(f"8 athletes x 4 sets, 2 bars: {took * 1e3:.0f} ms; {far.off_g} g off, {far.moves} moves; "
              f"best found in 15 s {far.best_off_g} g, {far.best_moves} moves, proven {far.proven}")  # fmt: skip


if __name__ == "__main__":
    against_the_solver()
    a_session()
    growth()
    the_ladder()
    the_rack()
