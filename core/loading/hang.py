"""What hangs in each set of a session."""

from dataclasses import dataclass

from core.kit import Kind, Kit
from core.training import Json
from core.units import Unit


@dataclass(frozen=True, slots=True)
class Hung:
    """`count` alike pieces. `face_g`: what is stamped on them, where it is not their mass; `unit`: in which unit."""

    kind: Kind
    mass_g: int
    count: int
    face_g: int | None = None
    unit: Unit = Unit.KG

    def to_json(self) -> Json:
        return {"kind": self.kind.value, "mass_g": self.mass_g, "count": self.count}


@dataclass(frozen=True, slots=True)
class HungSet:
    """The nearest to `target_g`: the chain's pieces heaviest first, a vest last."""

    target_g: int
    total_g: int
    pieces: tuple[Hung, ...]

    def to_json(self) -> Json:
        pieces = [piece.to_json() for piece in self.pieces]
        return {"target_g": self.target_g, "total_g": self.total_g, "pieces": pieces}


def hung_from_json(data: Json, kit: Kit) -> HungSet:
    """A set of `Hang.to_json` again, with what is stamped on the pieces of this kit."""
    stamped = {(piece.kind.value, piece.mass_g): piece for piece in reversed(kit.pieces)}

    def hung(one: Json) -> Hung:
        piece = stamped.get((one["kind"], one["mass_g"]))
        face_g, unit = (None, None) if piece is None else (piece.face_g, piece.unit)
        return Hung(Kind(one["kind"]), one["mass_g"], one["count"], face_g, kit.unit if unit is None else unit)

    return HungSet(data["target_g"], data["total_g"], tuple(hung(one) for one in data["pieces"]))


@dataclass(frozen=True, slots=True)
class Hang:
    """A session. `moves`: pieces put on or taken off; `least`: proven to be the fewest."""

    sets: tuple[HungSet, ...]
    moves: int
    least: bool = True

    def to_json(self) -> Json:
        return {"sets": [one.to_json() for one in self.sets], "moves": self.moves}
