"""A kit as a message changes it: nothing is kept before the athlete has said yes to the list."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import assert_never

from core.kit import KINDS, Anchor, Band, Guess, Kit, Known, Piece, Readings, kit_from_json, kit_to_json
from core.kit_messages.cues import about_kit
from core.kit_messages.shown import kit_phrase
from core.kit_messages.statements import (
    BandSaid,
    BarSaid,
    ChainSaid,
    Mode,
    PieceSaid,
    Said,
    Statements,
    Weight,
    statements,
)
from core.kit_messages.tokens import folded, tokens
from core.phrases import Mass, Phrase, phrase
from core.training import Json
from core.units import Unit, grams

MOST = Decimal(1_000_000)  # a larger number is out of every range, and spares the digits


@dataclass(frozen=True, slots=True)
class KitChange:
    """The kit as it would be, for `today` alone or from now on; `unclear`: what was not understood, to be asked."""

    kit: Kit
    today: bool
    unclear: tuple[Phrase, ...] = ()

    @property
    def question(self) -> Phrase:
        """The whole kit as a list, for a yes or no."""
        return kit_phrase(self.kit, self.today)

    def to_json(self) -> Json:
        return {"kit": kit_to_json(self.kit), "today": self.today}


def read_kit(text: str, kit: Kit, language: str, *, asked: bool = False) -> KitChange | None:
    """What a message makes of the kit; None where it says nothing of one. To be asked after the reader of sets.

    `asked`: the coach has just asked for the kit, so that bare masses are one. Raises `BadInput` where the outcome
    is no kit (10,000 plates, a chain below every piece).
    """
    found = tokens(text, language)
    if not asked and not about_kit(found, kit):
        return None
    heard = statements(found, [band.label for band in kit.bands])
    if not heard.said and not heard.unread:
        return None
    change = _Change(kit)
    change.apply(heard)
    unclear = (*change.unclear, *(phrase("kit.not_read", text=text) for text in heard.unread))
    return KitChange(_sound(change.kit), heard.today, unclear)


def _sound(kit: Kit) -> Kit:
    """The kit as its file would read, with every limit of one. Raises `BadInput`."""
    return kit_from_json(kit_to_json(kit), "message")


class _Change:
    """Takes one statement after the other; `unclear` collects what names nothing."""

    def __init__(self, kit: Kit) -> None:
        self.kit, self.unclear = kit, list[Phrase]()
        self.cleared = False

    def apply(self, heard: Statements) -> None:
        only = [said for said in heard.said if said.mode is Mode.ONLY]
        if only and (self.kit.pieces or self.kit.bands):
            self._keep(only)
        else:
            only = []
        for said in heard.said:
            if said not in only:
                self._take(said)

    def _take(self, said: Said) -> None:
        match said:
            case PieceSaid():
                self._less(said) if said.mode is Mode.LESS else self._piece(said)
            case ChainSaid():
                self._chain(said)
            case BarSaid():
                limit_g = self._grams(said.limit)
                self.kit = replace(self.kit, anchor=None if said.mode is Mode.LESS else Anchor(limit_g))
            case BandSaid():
                self._drop_bands(said) if said.mode is Mode.LESS else self._band(said)
            case _:
                assert_never(said)

    def _piece(self, said: PieceSaid) -> None:
        if said.weight is None:
            return  # "I have kettlebells" names none
        count = Decimal(1) if said.count is None else said.count
        if count != int(count):
            self.unclear.append(phrase("kit.not_read", text=f"{count} x {said.weight.amount}"))
            return
        if said.mode is Mode.HAVE and not self.cleared:
            self.kit, self.cleared = replace(self.kit, pieces=()), True
        kind = next((kind for kind in KINDS if kind.kind is said.kind), KINDS[0])
        unit = said.weight.unit if said.weight.unit not in (None, self.kit.unit) else None
        piece = kind(self._grams(said.weight), int(count), None, unit)
        self.kit = replace(self.kit, pieces=(*self.kit.pieces, piece))

    def _chain(self, said: ChainSaid) -> None:
        if said.mode is Mode.LESS:
            self.kit = replace(self.kit, pieces=self.kit.worn)
            return
        belt = self.kit.belt
        if said.places is not None:
            belt = replace(belt, max_pieces=int(said.places))
        if said.rating is not None:
            belt = replace(belt, max_load_g=self._grams(said.rating))
        self.kit = replace(self.kit, belt=belt)

    def _less(self, said: PieceSaid) -> None:
        """Without these pieces: so many of them, all where no number is said."""
        if not self._known(said):
            return
        left = None if said.count is None else int(said.count)
        kept: list[Piece] = []
        for piece in self.kit.pieces:
            gone = 0 if not self._means(said, piece) else piece.count if left is None else min(left, piece.count)
            left = None if left is None else left - gone
            if piece.count > gone:
                kept.append(replace(piece, count=piece.count - gone))
        self.kit = replace(self.kit, pieces=tuple(kept))

    def _keep(self, only: Sequence[Said]) -> None:
        """Nothing but these; a count says how many of them."""
        pieces, labels = list[Piece](), set[str]()
        for said in only:
            match said:
                case PieceSaid() if self._known(said):
                    like = [piece for piece in self.kit.pieces if self._means(said, piece)]
                    most = None if said.count is None else int(said.count)
                    pieces += [replace(p, count=p.count if most is None else min(most, p.count)) for p in like]
                case BandSaid():
                    labels |= {band.label for band in self._bands(said)}
                case PieceSaid() | ChainSaid() | BarSaid():
                    pass
        bands = tuple(band for band in self.kit.bands if band.label in labels or self.kit.rubber(band) in labels)
        self.kit = replace(self.kit, pieces=tuple(pieces), bands=bands)

    def _known(self, said: PieceSaid) -> bool:
        """Whether the kit has such a piece; it is asked about where not."""
        if any(self._means(said, piece) for piece in self.kit.pieces):
            return True
        if said.weight is None:
            self.unclear.append(phrase("kit.no_such_kind"))
        else:
            self.unclear.append(phrase("kit.nothing_weighs", mass=Mass(self._grams(said.weight))))
        return False

    def _means(self, said: PieceSaid, piece: Piece) -> bool:
        """By kind and by mass, weighed or stamped."""
        fits = said.kind is None or piece.kind is said.kind
        return fits and (said.weight is None or self._grams(said.weight) in (piece.mass_g, piece.face_g))

    def _bands(self, said: BandSaid) -> list[Band]:
        return [band for band in self.kit.bands if not said.label or folded(band.label) == folded(said.label)]

    def _drop_bands(self, said: BandSaid) -> None:
        gone = {band.label for band in self._bands(said)}
        if not gone:
            self.unclear.append(phrase("kit.no_such_kind"))
        kept = [band for band in self.kit.bands if band.label not in gone and self.kit.rubber(band) not in gone]
        self.kit = replace(self.kit, bands=tuple(kept))

    def _band(self, said: BandSaid) -> None:
        """New, or read anew; a known one that is bought again counts one more."""
        own, known = self._bands(said) if said.label else [], self._pull(said)
        if own and (known is not None or said.mode is Mode.MORE):
            first = own[0]
            again = replace(first, count=first.count + 1) if known is None else replace(first, known=known)
            self._swap(lambda band: again if band is first else band)
        elif not own and known is not None:
            self.kit = replace(self.kit, bands=(*self.kit.bands, Band(said.label, known)))
        elif not own:
            self.unclear.append(phrase("kit.band_unknown", label=said.label))

    def _swap(self, change: Callable[[Band], Band]) -> None:
        self.kit = replace(self.kit, bands=tuple(change(band) for band in self.kit.bands))

    def _pull(self, said: BandSaid) -> Known | None:
        if said.hang is not None and said.top is not None:
            return Readings(self._grams(said.hang), self._grams(said.top))
        return None if said.guess is None else Guess(self._grams(said.guess))

    def _grams(self, weight: Weight) -> int:
        unit: Unit = self.kit.unit if weight.unit is None else weight.unit
        return grams(min(weight.amount, MOST), unit)
