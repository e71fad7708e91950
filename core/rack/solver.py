"""How far a rota is from the best one: the whole night as a constraint problem, for OR-Tools (extra `solver`).

The same rounds, bars and belts as the rota has, but any order of turns and any pieces; minimised are the grams by
which sets miss what was wanted, then the moves.
"""

from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from core.loading.stock import stock_of
from core.problems import refuse
from core.rack.night import Guest, Room, Rota
from core.training import Json

MOST_MOVES = 10_000


@dataclass(frozen=True, slots=True)
class Distance:
    """The rota's cost beside the best that the solver found, and the bound below which nothing can be."""

    off_g: int
    moves: int
    best_off_g: int
    best_moves: int
    bound_off_g: int
    proven: bool

    def to_json(self) -> Json:
        names = ("off_g", "moves", "best_off_g", "best_moves", "bound_off_g", "proven")
        return {name: getattr(self, name) for name in names}


def distance(rota: Rota, guests: tuple[Guest, ...], room: Room, seconds: float = 10.0) -> Distance:
    """Solve for at most `seconds`. Raises `BadInput` where OR-Tools is not installed."""
    try:
        from ortools.sat.python import cp_model
    except ImportError:
        raise refuse("solver", "OR-Tools is not installed", 'run pip install "plimsoll[solver]"') from None
    night = _Night(cp_model.CpModel(), guests, room, rota.rounds)
    cost = night.build()
    night.hint(rota)
    night.model.minimize(cost)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    status = solver.solve(night.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Distance(rota.off_g, rota.moves, rota.off_g, rota.moves, 0, proven=False)
    best, bound = round(solver.objective_value), max(round(solver.best_objective_bound), 0)
    return Distance(
        rota.off_g, rota.moves, *divmod(best, MOST_MOVES), bound // MOST_MOVES, proven=status == cp_model.OPTIMAL
    )


class _Night:
    """The variables: `turn[g, s, r, b]`, set s of guest g is in round r at bar b; `on[r, b, k]`, pieces k there."""

    def __init__(self, model: Any, guests: tuple[Guest, ...], room: Room, rounds: int) -> None:
        self.model, self.guests, self.room, self.rounds = model, guests, room, rounds
        stock = stock_of(room.kit)
        self.slots, self.most, self.limit_g = stock.slots, stock.most, stock.limit_g
        self.chain = len(stock.chain)
        self.belts = min(room.belts, room.bars)
        self.on = {
            (r, b, k): model.new_int_var(0, slot.copies, f"on{r},{b},{k}")
            for r in range(rounds)
            for b in range(self.belts)
            for k, slot in enumerate(self.slots)
        }
        self.turn = {
            (g, s, r, b): model.new_bool_var(f"turn{g},{s},{r},{b}")
            for g, guest in enumerate(guests)
            for s, want in enumerate(guest.sets)
            for r in range(rounds)
            for b in range(self.belts if want.added_g else room.bars)
        }

    def build(self) -> Any:
        """All constraints; the cost to minimise."""
        self._turns()
        self._bands()
        self._pieces()
        return MOST_MOVES * self._off() + self._moves()

    def _turns(self) -> None:
        """Every set once, in order and rested; one at a bar."""
        for g, guest in enumerate(self.guests):
            whens = []
            for s in range(len(guest.sets)):
                mine = {key: var for key, var in self.turn.items() if key[:2] == (g, s)}
                self.model.add_exactly_one(mine.values())
                whens.append(sum(key[2] * var for key, var in mine.items()))
            for before, after in pairwise(whens):
                self.model.add(after >= before + 1 + guest.rest)
        for r in range(self.rounds):
            for b in range(self.room.bars):
                self.model.add_at_most_one(var for key, var in self.turn.items() if key[2:] == (r, b))

    def _bands(self) -> None:
        kit = self.room.kit
        for band in kit.bands:
            if kit.rubber(band) != band.label:
                continue
            group = {other.label for other in kit.bands if kit.rubber(other) == band.label}
            for r in range(self.rounds):
                uses = [
                    sum(label in group for label in self.guests[g].sets[s].bands) * var
                    for (g, s, when, _), var in self.turn.items()
                    if when == r
                ]
                self.model.add(sum(uses) <= band.count)

    def _pieces(self) -> None:
        """No piece in two places; chain, rating and one vest at each belt."""
        for r in range(self.rounds):
            for k, slot in enumerate(self.slots):
                self.model.add(sum(self.on[r, b, k] for b in range(self.belts)) <= slot.copies)
            for b in range(self.belts):
                hung = [self.on[r, b, k] for k in range(self.chain)]
                self.model.add(sum(hung) <= self.most)
                self.model.add(self._mass(r, b, self.chain) <= self.limit_g)
                self.model.add(sum(self.on[r, b, k] for k in range(self.chain, len(self.slots))) <= 1)

    def _mass(self, r: int, b: int, upto: int) -> Any:
        return sum(self.slots[k].mass_g * self.on[r, b, k] for k in range(upto))

    def _off(self) -> Any:
        """Grams that each set misses its target by."""
        missed = []
        for g, guest in enumerate(self.guests):
            for s, want in enumerate(guest.sets):
                if want.added_g:
                    off = self.model.new_int_var(0, want.added_g, f"off{g},{s}")
                    missed.append(off)
                    for (_, _, r, b), var in ((key, v) for key, v in self.turn.items() if key[:2] == (g, s)):
                        mass = self._mass(r, b, len(self.slots))
                        self.model.add(mass - want.added_g <= off).only_enforce_if(var)
                        self.model.add(want.added_g - mass <= off).only_enforce_if(var)
        return sum(missed)

    def _moves(self) -> Any:
        moves = []
        for (r, b, k), now in self.on.items():
            before = self.on[r - 1, b, k] if r else 0
            count = self.model.new_int_var(0, self.slots[k].copies, f"move{r},{b},{k}")
            self.model.add(now - before <= count)
            self.model.add(before - now <= count)
            moves.append(count)
        return sum(moves)

    def hint(self, rota: Rota) -> None:
        """Start from the rota."""
        names = [guest.name for guest in self.guests]
        given = {(names.index(t.name), t.number - 1, t.round - 1, t.bar - 1): t for t in rota.turns}
        for key, var in self.turn.items():
            self.model.add_hint(var, key in given)
            if key in given and given[key].want.added_g:
                load = {(kind, mass): count for kind, mass, count in given[key].load}
                for k, slot in enumerate(self.slots):
                    self.model.add_hint(self.on[key[2], key[3], k], load.get((slot.kind, slot.mass_g), 0))
