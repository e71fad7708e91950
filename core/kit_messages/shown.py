"""A kit as a list in words, to be confirmed."""

from core.bands import pull_of
from core.kit import KINDS, Band, Kit, Piece, Readings
from core.phrases import Mass, Phrase, phrase


def kit_phrase(kit: Kit, today: bool = False) -> Phrase:
    """The question that shows the whole kit back."""
    return phrase("kit.for_today" if today else "kit.from_now", items=kit_items(kit))


def kit_items(kit: Kit) -> tuple[Phrase, ...]:
    """One phrase for each line of the kit: pieces lightest first, the chain, the bar, the bands."""
    order = tuple(kind.kind for kind in KINDS)
    pieces = sorted(kit.pieces, key=lambda piece: (order.index(piece.kind), piece.mass_g))
    items = [_piece(piece) for piece in pieces] + _limits(kit) + [_band(kit, band) for band in kit.bands]
    return tuple(items) if items else (phrase("kit.empty"),)


def _piece(piece: Piece) -> Phrase:
    plain = phrase(f"kit.{piece.kind.value}", n=piece.count, mass=Mass(piece.mass_g))
    return plain if piece.face_g is None else phrase("kit.stamped", piece=plain, face=Mass(piece.face_g))


def _limits(kit: Kit) -> list[Phrase]:
    found = []
    if kit.belt.max_pieces is not None:
        found.append(phrase("kit.chain", n=kit.belt.max_pieces))
    if kit.belt.max_load_g is not None:
        found.append(phrase("kit.chain_rating", mass=Mass(kit.belt.max_load_g)))
    if kit.anchor is not None:
        found.append(phrase("kit.anchor", mass=Mass(kit.anchor.max_load_g)))
    return found


def _band(kit: Kit, band: Band) -> Phrase:
    if isinstance(band.known, Readings):
        ends = {"hang": Mass(band.known.hang_g), "top": Mass(band.known.top_g)}
        plain = phrase("kit.band_read", label=band.label, **ends)
    else:
        plain = phrase("kit.band_about", label=band.label, mass=Mass(round(round(pull_of(band, kit.reach).mean_g), -2)))
    if band.of is not None:
        plain = phrase("kit.set_up", band=plain, of=kit.rubber(band))
    return plain if band.count == 1 else phrase("kit.band_count", n=band.count, band=plain)
