"""The hang picture as a specification: what is drawn, in which order, and the same in words. Pixels are the bot's."""

from collections.abc import Sequence

from core.kit import Band, Hitch, Kind, Kit, Support
from core.language import render
from core.loading import Hung, HungSet
from core.phrases import Mass, Phrase, phrase
from core.training import Json
from core.units import Unit

KIND = "hang"  # the name under which `bot.pictures` draws it


def hang_words(one: HungSet, bands: Sequence[Band] = ()) -> tuple[Phrase, ...]:
    """The picture in words: the total, the chain in order, what is worn, each band and how it is set up."""
    chain, worn = _chain(one), _worn(one)
    lines = [_total(one)]
    if chain:
        lines.append(phrase("kit.picture.order", pieces=tuple(_piece(piece) for piece in chain)))
    lines += [phrase("kit.picture.worn", piece=_piece(piece)) for piece in worn]
    lines += [_band(band) for band in bands]
    return tuple(lines)


def hang_picture(one: HungSet, bands: Sequence[Band], language: str, unit: Unit) -> Json:
    """The specification, with all its words said.

    `chain`: pieces in the order they go on, each as often as it hangs; `size` 0-1 grows with the mass, against the
    heaviest of the chain; `worn`: the vest's label or None; `bands`: label, hitch and support of each.
    """
    pieces = [piece for piece in _chain(one) for _ in range(piece.count)]
    heaviest = max((piece.mass_g for piece in pieces), default=1)
    worn = [_label(piece, language) for piece in _worn(one)]
    return {
        "picture": KIND,
        "title": render(_total(one), language, unit),
        "chain": [
            {"kind": p.kind.value, "label": _label(p, language), "size": round((p.mass_g / heaviest) ** 0.5, 3)}
            for p in pieces
        ],
        "worn": worn[0] if worn else None,
        "bands": [{"label": b.label, "hitch": b.hitch.value, "support": b.support.value} for b in bands],
        "words": [render(line, language, unit) for line in hang_words(one, bands)],
    }


def bands_of(kit: Kit, labels: Sequence[str]) -> tuple[Band, ...]:
    """The kit's bands with these labels; a label that the kit has not is left out."""
    found = (kit.band(label) for label in labels)
    return tuple(band for band in found if band is not None)


def changed(before: HungSet | None, after: HungSet) -> bool:
    """Whether a new picture is due: something else hangs than before."""
    return before is None or before.pieces != after.pieces


def _chain(one: HungSet) -> tuple[Hung, ...]:
    return tuple(piece for piece in one.pieces if piece.kind is not Kind.VEST)


def _worn(one: HungSet) -> tuple[Hung, ...]:
    return tuple(piece for piece in one.pieces if piece.kind is Kind.VEST)


def _total(one: HungSet) -> Phrase:
    return phrase("kit.picture.total", mass=Mass(one.total_g)) if one.pieces else phrase("kit.picture.nothing")


def _piece(piece: Hung) -> Phrase:
    plain = phrase(f"kit.{piece.kind.value}", n=piece.count, mass=Mass(piece.mass_g))
    return plain if piece.face_g is None else phrase("kit.stamped", piece=plain, face=Mass(piece.face_g))


def _label(piece: Hung, language: str) -> str:
    """What to look for on the piece: its stamp, in the unit it is written in."""
    mass = Mass(piece.mass_g if piece.face_g is None else piece.face_g)
    match piece.kind:
        case Kind.PLATE:
            return render(phrase("kit.mass", mass=mass), language, piece.unit)
        case Kind.KETTLEBELL:
            return render(phrase("kit.picture.bell", mass=mass), language, piece.unit)
        case Kind.VEST:
            return render(phrase("kit.picture.vest", mass=mass), language, piece.unit)


def _band(band: Band) -> Phrase:
    hitch, support = Hitch(band.hitch).value, Support(band.support).value
    ways = {"hitch": phrase(f"kit.picture.{hitch}"), "support": phrase(f"kit.picture.{support}")}
    return phrase("kit.picture.band", label=band.label, **ways)
