"""A kit as JSON, the keys of its file; read again it is the same kit."""

from decimal import ROUND_HALF_EVEN, Decimal
from typing import assert_never

from core.kit.pieces import Band, Guess, HangTest, Hitch, Kit, Known, Make, Piece, Prefer, Reach, Readings, Support
from core.kit.table import UM_PER_CM, UM_PER_MM
from core.training import Json
from core.units import GRAMS_PER_POUND, Unit, grams


def kit_to_json(kit: Kit) -> Json:
    """The kit file as JSON. What has its default is left out, but for the unit."""
    data: Json = {"unit": kit.unit.value}
    belt = {"max_pieces": kit.belt.max_pieces, "max_load": _mass(kit.belt.max_load_g, kit.unit)}
    if any(value is not None for value in belt.values()):
        data["belt"] = {key: value for key, value in belt.items() if value is not None}
    for piece in kit.pieces:
        data.setdefault(piece.kind.value, []).append(_piece(piece, kit.unit))
    if kit.anchor is not None:
        data["anchor"] = {"max_load": _mass(kit.anchor.max_load_g, kit.unit)}
    if kit.bands:
        data["band"] = [_band(band, kit.unit) for band in kit.bands]
    if kit.reach != Reach():
        lengths = {"foot_cm": kit.reach.foot_um, "knee_cm": kit.reach.knee_um, "pull_cm": kit.reach.pull_um}
        data["reach"] = {key: _length(um, UM_PER_CM) for key, um in lengths.items()}
    if kit.prefer != Prefer():
        wishes = {"vest": kit.prefer.vest, "kettlebells_from": kit.prefer.kettlebells_from}
        data["prefer"] = {key: value for key, value in wishes.items() if value is not None}
    return data


def _piece(piece: Piece, kit_unit: Unit) -> Json:
    unit = kit_unit if piece.unit is None else piece.unit
    data: Json = {"mass": _mass(piece.mass_g, unit), "count": piece.count}
    if piece.face_g is not None:
        data["face"] = _mass(piece.face_g, unit)
    if piece.unit is not None:
        data["unit"] = piece.unit.value
    return data


def _band(band: Band, unit: Unit) -> Json:
    data: Json = {"label": band.label}
    if band.of is not None:
        data["of"] = band.of
    data |= _known(band.known, unit) | {"count": band.count}
    if band.hitch is not Hitch.ONCE:
        data["hitch"] = band.hitch.value
    if band.support is not Support.FOOT:
        data["support"] = band.support.value
    return data


def _known(known: Known, unit: Unit) -> Json:
    match known:
        case Readings():
            return {"hang": _mass(known.hang_g, unit), "top": _mass(known.top_g, unit)}
        case HangTest():
            points = [{"mass": _mass(mass, unit), "length_cm": _length(um, UM_PER_CM)} for mass, um in known.points]
            return {"rest_length_cm": _length(known.rest_um, UM_PER_CM), "test": points}
        case Make():
            sides = {"width_mm": known.width_um, "thickness_mm": known.thickness_um}
            return {"rest_length_cm": _length(known.rest_um, UM_PER_CM)} | {
                key: _length(um, UM_PER_MM) for key, um in sides.items()
            }
        case Guess():
            return {"guess": _mass(known.pull_g, unit)}
    assert_never(known)


def _mass(mass_g: int | None, unit: Unit) -> int | float | None:
    """The shortest number of the unit that is this mass to the gram: 1134 g is 2.5 lb."""
    if mass_g is None:
        return None
    exact = Decimal(mass_g) / (1000 if unit is Unit.KG else GRAMS_PER_POUND)
    for places in range(4):
        short = exact.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)
        if grams(short, unit) == mass_g:
            return _number(short)
    raise AssertionError(f"{mass_g} g has no name in {unit} to three places")


def _length(um: int, um_per_unit: int) -> int | float:
    return _number(Decimal(um) / um_per_unit)


def _number(value: Decimal) -> int | float:
    return int(value) if value == int(value) else float(value)
