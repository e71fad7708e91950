"""What there is to hang, wear and stand in. Masses in grams, lengths in micrometres, the written unit kept beside."""

from dataclasses import dataclass, field
from enum import StrEnum
from typing import ClassVar, assert_never

from core.units import Unit


class Kind(StrEnum):
    """The name of a kind of weight, in the kit file and in what is hung."""

    PLATE = "plate"
    KETTLEBELL = "kettlebell"
    VEST = "vest"


@dataclass(frozen=True, slots=True)
class Piece:
    """`count` alike pieces. `mass_g` is what they weigh and what counts; `face_g` what is stamped on them, if unlike.

    `unit`: the unit the piece is written in, None for the kit's own.
    """

    mass_g: int
    count: int = 1
    face_g: int | None = None
    unit: Unit | None = None
    kind: ClassVar[Kind]
    on_chain: ClassVar[bool] = True  # takes a place on the chain and counts against its rating


@dataclass(frozen=True, slots=True)
class Plate(Piece):
    """A disc on the chain."""

    kind: ClassVar[Kind] = Kind.PLATE


@dataclass(frozen=True, slots=True)
class Kettlebell(Piece):
    """A bell on the chain."""

    kind: ClassVar[Kind] = Kind.KETTLEBELL


@dataclass(frozen=True, slots=True)
class Vest(Piece):
    """Worn whole, at most one at a time."""

    kind: ClassVar[Kind] = Kind.VEST
    on_chain: ClassVar[bool] = False


KINDS: tuple[type[Piece], ...] = (Plate, Kettlebell, Vest)


@dataclass(frozen=True, slots=True)
class Belt:
    """`max_pieces` that fit the chain (None: as many as there are); `max_load_g`: rating of its weakest link."""

    max_pieces: int | None = None
    max_load_g: int | None = None


@dataclass(frozen=True, slots=True)
class Anchor:
    """What everything hangs from, with its working limit for body and added load together."""

    max_load_g: int


class Support(StrEnum):
    """Where the band carries the body."""

    FOOT = "foot"
    KNEE = "knee"


class Hitch(StrEnum):
    """How the loop hangs from the bar: pulled through itself once or twice, laid over double, or hooked open."""

    ONCE = "once"
    TWICE = "twice"
    FOLD = "fold"
    OPEN = "open"


# Share of its flat length that a hitched loop keeps: once .79-.80, twice .61-.66 (several users, not peer reviewed).
SLACK = {Hitch.ONCE: 0.795, Hitch.TWICE: 0.635, Hitch.FOLD: 0.5, Hitch.OPEN: 1.0}


@dataclass(frozen=True, slots=True)
class Readings:
    """Two readings off a scale: at the dead hang and with the chin over the bar."""

    hang_g: int
    top_g: int


@dataclass(frozen=True, slots=True)
class HangTest:
    """Known masses hung from the band and the length each stretched it to: (mass_g, length_um)."""

    rest_um: int
    points: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Make:
    """The loop as made: its flat length, the width and thickness of one of its two strands."""

    rest_um: int
    width_um: int
    thickness_um: int


@dataclass(frozen=True, slots=True)
class Guess:
    """Somebody's guess at the mean pull."""

    pull_g: int


Known = Readings | HangTest | Make | Guess


@dataclass(frozen=True, slots=True)
class Band:
    """One band, `count` times, or with `of` another set-up of a band of that label."""

    label: str
    known: Known
    count: int = 1
    of: str | None = None
    hitch: Hitch = Hitch.ONCE
    support: Support = Support.FOOT

    @property
    def slack_um(self) -> int:
        """Rest length as set up; 0 where lengths are unknown. A hang test is measured as set up."""
        match self.known:
            case HangTest(rest):
                return rest
            case Make(rest):
                return round(rest * SLACK[self.hitch])
            case Readings() | Guess():
                return 0
        assert_never(self.known)


@dataclass(frozen=True, slots=True)
class Reach:
    """The athlete as the bands see them. Defaults: an adult of about 175 cm (practice, no source).

    `foot_um`: from the bar to the sole at the dead hang; `knee_um`: to the knee; `pull_um`: how far the body rises.
    """

    foot_um: int = 2_050_000
    knee_um: int = 1_600_000
    pull_um: int = 550_000


@dataclass(frozen=True, slots=True)
class Prefer:
    """What a coach prefers. `vest`: one may be worn (it keeps the chest off the bar); `kettlebells_from`: sets of so
    many repetitions rather take kettlebells, which swing less, where total, pieces and moves are the same."""

    vest: bool = True
    kettlebells_from: int | None = None


@dataclass(frozen=True, slots=True)
class Kit:
    """Everything at hand. Pieces stand in the order of `KINDS`, and as written within a kind."""

    unit: Unit = Unit.KG
    belt: Belt = field(default_factory=Belt)
    pieces: tuple[Piece, ...] = ()
    anchor: Anchor | None = None
    bands: tuple[Band, ...] = ()
    reach: Reach = field(default_factory=Reach)
    prefer: Prefer = field(default_factory=Prefer)
    _hash: int = field(init=False, repr=False, compare=False, default=0)  # a kit is looked up far more than made

    def __post_init__(self) -> None:
        order = tuple(kind.kind for kind in KINDS)
        ranked = sorted(self.pieces, key=lambda piece: order.index(piece.kind))
        object.__setattr__(self, "pieces", tuple(ranked))
        told = (self.unit, self.belt, self.pieces, self.anchor, self.bands, self.reach, self.prefer)
        object.__setattr__(self, "_hash", hash(told))

    def __hash__(self) -> int:
        return self._hash

    @property
    def hung(self) -> tuple[Piece, ...]:
        """What goes on the chain."""
        return tuple(piece for piece in self.pieces if piece.on_chain)

    @property
    def worn(self) -> tuple[Piece, ...]:
        """What is worn whole; nothing where the coach wants no vest."""
        return tuple(piece for piece in self.pieces if not piece.on_chain and self.prefer.vest)

    def band(self, label: str) -> Band | None:
        return next((band for band in self.bands if band.label == label), None)

    def rubber(self, band: Band) -> str:
        """The label of the band that `band` is a set-up of, its own where it is none."""
        for _ in self.bands:
            parent = None if band.of is None else self.band(band.of)
            if parent is None:
                break
            band = parent
        return band.label
