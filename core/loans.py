"""Club pieces lent to athletes: who has what from when till when, and what that leaves of either kit."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from core.kit import KINDS, Band, Guess, Kind, Kit, Known, Piece, Readings
from core.problems import refuse
from core.training import Json


@dataclass(frozen=True, slots=True)
class Loan:
    """`count` pieces of a kind and mass, or bands of a label, with `athlete` from `day`; until `back`, or for good."""

    athlete: str
    day: date
    count: int = 1
    kind: Kind | None = None
    mass_g: int = 0
    label: str = ""
    back: date | None = None

    def out(self, day: date) -> bool:
        """Whether it is with the athlete on that day; on the day it comes back it is not."""
        return self.day <= day and (self.back is None or day < self.back)

    def to_json(self) -> Json:
        what: Json = {"label": self.label} if self.kind is None else {"kind": self.kind.value, "mass_g": self.mass_g}
        back = None if self.back is None else self.back.isoformat()
        return {"athlete": self.athlete, "day": self.day.isoformat(), "back": back, "count": self.count} | what

    @staticmethod
    def from_json(data: Json) -> "Loan":
        back = data.get("back")
        return Loan(
            athlete=str(data["athlete"]),
            day=date.fromisoformat(data["day"]),
            count=int(data.get("count", 1)),
            kind=Kind(data["kind"]) if "kind" in data else None,
            mass_g=int(data.get("mass_g", 0)),
            label=str(data.get("label", "")),
            back=None if back is None else date.fromisoformat(back),
        )


def left_of(club: Kit, loans: Iterable[Loan], day: date) -> Kit:
    """The club's kit without what is out on that day."""
    for loan in loans:
        if loan.out(day):
            club = _less(club, loan)
    return club


def at_home(kit: Kit, club: Kit, loans: Iterable[Loan], athlete: str, day: date) -> Kit:
    """The athlete's kit with what the club has lent; a band's readings become a guess."""
    for loan in loans:
        if loan.athlete == athlete and loan.out(day):
            kit = _more(kit, club, loan)
    return kit


def lend(club: Kit, loans: Sequence[Loan], loan: Loan) -> tuple[Loan, ...]:
    """The loans with one more. Raises `BadInput` where the club has not that many left on the day."""
    left = left_of(club, loans, loan.day)
    if _count(left, loan) < loan.count:
        raise refuse("loan", f"the club has {_count(left, loan)} of that left", "lend what is there, or take one back")
    return (*loans, loan)


def _like(piece: Piece, loan: Loan) -> bool:
    return piece.kind is loan.kind and piece.mass_g == loan.mass_g


def _count(kit: Kit, loan: Loan) -> int:
    if loan.kind is None:
        return sum(band.count for band in kit.bands if band.label == loan.label)
    return sum(piece.count for piece in kit.pieces if _like(piece, loan))


def _less(kit: Kit, loan: Loan) -> Kit:
    left, pieces, bands = loan.count, [], []
    for piece in kit.pieces:
        taken = min(left, piece.count) if _like(piece, loan) else 0
        left -= taken
        if piece.count > taken:
            pieces.append(replace(piece, count=piece.count - taken))
    for band in kit.bands:
        gone = loan.count if loan.kind is None and band.label == loan.label else 0
        if band.count > gone:
            bands.append(replace(band, count=band.count - gone))
    kept = {band.label for band in bands}
    return replace(kit, pieces=tuple(pieces), bands=tuple(band for band in bands if _stands(kit, band, kept)))


def _stands(kit: Kit, band: Band, kept: set[str]) -> bool:
    """A set-up stands as long as its rubber is there."""
    return band.of is None or kit.rubber(band) in kept


def _more(kit: Kit, club: Kit, loan: Loan) -> Kit:
    if loan.kind is not None:
        kind = next(kind for kind in KINDS if kind.kind is loan.kind)
        face = next((piece for piece in club.pieces if _like(piece, loan)), kind(loan.mass_g))
        return replace(kit, pieces=(*kit.pieces, replace(face, count=loan.count)))
    own, lent = kit.band(loan.label), club.band(loan.label)
    if own is not None:
        more = replace(own, count=own.count + loan.count)
        return replace(kit, bands=tuple(more if band is own else band for band in kit.bands))
    if lent is None:
        return kit
    band = replace(lent, count=loan.count, of=None, known=_for_another(lent.known))
    return replace(kit, bands=(*kit.bands, band))


def _for_another(known: Known) -> Known:
    """Readings belong to the body they were taken with; to another they are a guess. Lengths and masses stay true."""
    if isinstance(known, Readings):
        return Guess((known.hang_g + known.top_g) // 2)
    return known
