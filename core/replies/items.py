"""What the grammar finds in a message, before the context completes it. Frozen values, one class a notation."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from core.replies.terms import Term
from core.training import Exercise

LoadBy = Literal["at", "sign", "unit", "word", "piece", "decimal", "label"]


@dataclass(frozen=True, slots=True)
class Count:
    """A number that may be repetitions. `said`: with the word for repetitions."""

    number: Decimal
    pair: tuple[int, int] | None = None
    said: bool = False
    weak: bool = False
    figures: bool = True


@dataclass(frozen=True, slots=True)
class OutOf:
    """`4/5`, `4 out of 5`: done out of prescribed, or a score."""

    number: Decimal
    of: Decimal
    slash: bool


@dataclass(frozen=True, slots=True)
class Group:
    """Sets times repetitions. `stated`: in words, so that the order is certain."""

    sets: int
    reps: Decimal
    stated: bool
    seconds: bool = False


@dataclass(frozen=True, slots=True)
class Header:
    """A number of sets announced before or after their list: `three sets: 5 5 4`."""

    sets: int


@dataclass(frozen=True, slots=True)
class Load:
    """A load in grams. `amount` as typed; `by`: what introduces it; `other`: named but not used."""

    mass_g: int
    amount: Decimal
    by: LoadBy
    unit_said: bool = False
    pair: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class Times:
    """`10kg x 5`, `bw x 8`: a load with the repetitions done with it."""

    load: "Load | Unweighted | None"
    reps: Decimal


@dataclass(frozen=True, slots=True)
class Pair:
    """`45x5` with nothing to say which side is which; `third`: a load behind it."""

    first: Decimal
    second: Decimal
    third: "Load | None" = None


@dataclass(frozen=True, slots=True)
class Relative:
    """More or less than the set before, in grams."""

    delta_g: int


@dataclass(frozen=True, slots=True)
class Unweighted:
    """Bodyweight as a load."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something that has to be asked about."""

    why: str


@dataclass(frozen=True, slots=True)
class Bands:
    """Labels as the context spells them; `bare`: named without the word band or the place of a load."""

    labels: tuple[str, ...]
    bare: bool = False


@dataclass(frozen=True, slots=True)
class SomeBand:
    """The word band without a label."""


@dataclass(frozen=True, slots=True)
class NoBand:
    """`no band`."""


@dataclass(frozen=True, slots=True)
class Effort:
    """Ratings of perceived exertion, in order; None where outside 1-10. `late`: in the form `that was a 9`."""

    ratings: tuple[float | None, ...]
    late: bool = False


@dataclass(frozen=True, slots=True)
class ToFailure:
    """To failure on purpose."""


@dataclass(frozen=True, slots=True)
class Failed:
    """A failed repetition: the nth, or of the last set."""

    nth: int | None = None


@dataclass(frozen=True, slots=True)
class Position:
    """A set named by its place: 0 is the first, -1 the last. `sets`: with the word set."""

    at: int
    sets: bool = False
    first: int = 0  # `first two`: how many from the start


@dataclass(frozen=True, slots=True)
class Seconds:
    """A hold."""

    seconds: int


@dataclass(frozen=True, slots=True)
class Named:
    """An exercise."""

    exercise: Exercise


@dataclass(frozen=True, slots=True)
class Weighed:
    """A body weight in grams; `sure`: the message says that it is one."""

    mass_g: int
    sure: bool


@dataclass(frozen=True, slots=True)
class Noise:
    """Numbers that are explained and are no training: times, dates, rests, prices."""

    kind: str = ""


@dataclass(frozen=True, slots=True)
class Punct:
    """A mark."""

    text: str
    gap: bool


@dataclass(frozen=True, slots=True)
class Said:
    """A known phrase that no notation used; its meanings."""

    term: Term

    def has(self, *kinds: str) -> bool:
        return self.term.has(*kinds)


@dataclass(frozen=True, slots=True)
class Unknown:
    """A word that no language knows."""

    term: Term


Item = (
    Count | OutOf | Group | Header | Load | Times | Pair | Relative | Unweighted | Doubt | Bands | SomeBand | NoBand
    | Effort | ToFailure | Failed | Position | Seconds | Named | Weighed | Noise | Punct | Said | Unknown
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Placed:
    """An item with the clause and sentence it stands in, and the terms it took."""

    item: Item
    terms: tuple[Term, ...] = ()
    clause: int = 0
    sentence: int = 0
    struck: str = ""  # why it counts for nothing: "plan", "question", …
    exercise: Exercise | None = field(default=None)


def by_clause(placed: Sequence[Placed]) -> dict[int, list[int]]:
    """Where the items of each clause stand, clauses in order."""
    found: dict[int, list[int]] = {}
    for at, one in enumerate(placed):
        found.setdefault(one.clause, []).append(at)
    return found
