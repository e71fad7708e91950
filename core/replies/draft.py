"""What a message alone says about each set, before the context fills the gaps."""

from dataclasses import dataclass, field
from decimal import Decimal

from core.replies.items import Position
from core.training import Exercise


@dataclass(frozen=True, slots=True)
class Gear:
    """What a set was done with, as far as the message says. `relative`: grams against the set before."""

    load_g: int | None = None
    bands: tuple[str, ...] | None = None
    unweighted: bool = False
    some_band: bool = False
    no_band: bool = False
    relative: int | None = None
    hinted: bool = False  # the load stood bare, as a decimal

    def __or__(self, later: "Gear") -> "Gear":
        """Both together, the later winning where both speak of the same thing."""
        return Gear(
            load_g=self.load_g if later.load_g is None else later.load_g,
            bands=self.bands if later.bands is None else later.bands,
            unweighted=self.unweighted or later.unweighted,
            some_band=self.some_band or later.some_band,
            no_band=self.no_band or later.no_band,
            relative=self.relative if later.relative is None else later.relative,
        )

    def clashes(self, later: "Gear") -> bool:
        """Both speak of the load, or both of the bands."""
        return (self._loads() and later._loads()) or (self._banded() and later._banded())

    def _loads(self) -> bool:
        return self.load_g is not None or self.unweighted or self.relative is not None

    def _banded(self) -> bool:
        return self.bands is not None or self.some_band or self.no_band


@dataclass(slots=True, eq=False)
class Drafted:
    """One set as the message alone has it. `at`: its place in the session where the message says."""

    reps: int
    number: Decimal
    gear: Gear | None = None
    ratings: list[float | None] = field(default_factory=list)
    failed: bool = False
    exercise: Exercise | None = None
    seconds: int | None = None
    at: int | None = None
    of: Decimal | None = None
    figures: bool = True
    bare: bool = True


@dataclass(slots=True)
class Draft:
    """The sets of a message and the reasons to ask about them."""

    sets: list[Drafted] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)
    placed: list[tuple[Position, Gear | float]] = field(default_factory=list)
    spare: Gear | None = None
    late: float | None = None
