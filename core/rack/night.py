"""One rack, many athletes: who comes, what there is, and the rota by rounds."""

from collections.abc import Iterator
from dataclasses import dataclass
from statistics import median

from core.kit import Kind, Kit
from core.training import Json

ROUND_S = 75  # one set and the change to the next at a bar; practice
Load = tuple[tuple[Kind, int, int], ...]  # (kind, mass_g, count), sorted: what is on one belt


@dataclass(frozen=True, slots=True)
class Want:
    """One set: what to hang and which bands to stand in."""

    added_g: int = 0
    bands: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Guest:
    """An athlete of the night. `rest`: rounds that pass at least between two of their sets."""

    name: str
    sets: tuple[Want, ...]
    rest: int = 1

    @property
    def usual_g(self) -> float:
        """The middle of what they hang; 0 for those who never use a belt."""
        loads = [want.added_g for want in self.sets if want.added_g]
        return median(loads) if loads else 0


@dataclass(frozen=True, slots=True)
class Room:
    """The kit, how many bars there are to pull from, and how many belts to share."""

    kit: Kit
    bars: int = 1
    belts: int = 1


@dataclass(frozen=True, slots=True)
class Turn:
    """Set `number` (from 1) of a guest at `bar` (from 1) in `round` (from 1), `load` on the belt or worn."""

    round: int
    bar: int
    name: str
    number: int
    want: Want
    load: Load = ()

    @property
    def total_g(self) -> int:
        return mass_of(self.load)

    @property
    def off_g(self) -> int:
        """How much heavier than wanted; below 0 lighter."""
        return self.total_g - self.want.added_g

    def to_json(self) -> Json:
        pieces = [{"kind": kind.value, "mass_g": mass, "count": count} for kind, mass, count in self.load]
        shown: Json = {"round": self.round, "bar": self.bar, "name": self.name, "set": self.number}
        want: Json = {"target_g": self.want.added_g, "bands": list(self.want.bands)}
        return shown | want | {"total_g": self.total_g, "pieces": pieces}


@dataclass(frozen=True, slots=True)
class Rota:
    """The night, turn by turn in order of rounds and bars. `moves`: pieces put on or taken off all belts."""

    turns: tuple[Turn, ...]
    moves: int

    @property
    def rounds(self) -> int:
        return max((turn.round for turn in self.turns), default=0)

    @property
    def off_g(self) -> int:
        """Grams by which all sets together miss what was wanted."""
        return sum(abs(turn.off_g) for turn in self.turns)

    def of(self, name: str) -> tuple[Turn, ...]:
        """One athlete's own sheet."""
        return tuple(turn for turn in self.turns if turn.name == name)

    def by_round(self) -> Iterator[tuple[int, tuple[Turn, ...]]]:
        for number in range(1, self.rounds + 1):
            yield number, tuple(turn for turn in self.turns if turn.round == number)

    def to_json(self) -> Json:
        turns = [turn.to_json() for turn in self.turns]
        return {"rounds": self.rounds, "moves": self.moves, "off_g": self.off_g, "turns": turns}


def rounds_of(rest_s: int) -> int:
    """The rounds that a rest of so many seconds takes at the least, to the nearest."""
    return max(round(rest_s / ROUND_S), 1)


def mass_of(load: Load) -> int:
    return sum(mass * count for _, mass, count in load)


def moved(before: Load, after: Load) -> int:
    """Pieces put on or taken off between two loads."""
    counts = {(kind, mass): count for kind, mass, count in before}
    for kind, mass, count in after:
        counts[kind, mass] = counts.get((kind, mass), 0) - count
    return sum(map(abs, counts.values()))
