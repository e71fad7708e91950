"""A kit from its file, TOML or the same as JSON: every mistake at once, each with its place and remedy."""

import tomllib
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from typing import TypeVar

from core.kit.bandfile import read_bands
from core.kit.pieces import KINDS, Anchor, Belt, Kit, Piece, Prefer, Reach, Support
from core.kit.table import UM_PER_CM, Table, between, plain_number
from core.problems import BadInput, Problem, refuse
from core.units import Unit

MAX_TABLES = 100  # of one kind in a file
MAX_BANDS = 20
MAX_COUNT = 100  # pieces alike
MAX_PIECES = 300  # in one kit
MAX_LETTERS = 200_000  # of a file
MASS = between("0.0001", 500)  # of a piece, in kilograms or pounds
RATING = between("0.1", 20_000)
COUNT = between(1, MAX_COUNT)
LENGTH_CM = between(1, 500)
KEYS = ("unit", "belt", "anchor", "reach", "prefer", "band", *(kind.kind.value for kind in KINDS))
Value = TypeVar("Value")


def kit_from_toml(text: str, where: str = "kit") -> Kit:
    """The kit that a file describes. Raises `BadInput`: no TOML, any mistake in it, or nothing to use in it."""
    if len(text) > MAX_LETTERS:
        raise refuse(where, "this is too long for a kit", f"write at most {MAX_LETTERS} letters")
    try:
        data = tomllib.loads(text, parse_float=Decimal)
    except (tomllib.TOMLDecodeError, ValueError, RecursionError) as error:
        told = str(error) if len(str(error)) < 100 else "a value is too long or too deep"
        raise refuse(where, f"this is no TOML ({told})", "mend that line, or start from the example") from None
    kit = kit_from_json(data, where)
    if not kit.pieces and not kit.bands:
        raise refuse(where, "a kit without pieces or bands", "add a [[plate]], [[kettlebell]], [[vest]] or [[band]]")
    return kit


def kit_from_json(data: object, where: str = "kit") -> Kit:
    """The kit of a JSON object with the keys of the file; `from`, the day it holds from, is its holder's affair.

    An empty object is an empty kit: a bar and nothing else. Raises `BadInput` with every mistake.
    """
    if not isinstance(data, Mapping):
        raise refuse(where, "a kit is an object of keys", 'write {"unit": "kg", …}')
    problems: list[Problem] = []
    table = Table(data, where, problems)
    table.only((*KEYS, "from"))
    unit = table.choice("unit", Unit)
    kit = Kit(
        unit=Unit.KG if unit is None else unit,
        belt=_single(table, "belt", _belt, unit) or Belt(),
        pieces=_pieces(table, unit),
        anchor=_single(table, "anchor", _anchor, unit),
        bands=read_bands(list(tables_of(table, "band")), unit),
        reach=_single(table, "reach", _reach, unit) or Reach(),
        prefer=_single(table, "prefer", _prefer, unit) or Prefer(),
    )
    problems.extend(_contradictions(kit, where))
    if problems:
        raise BadInput(problems)
    return kit


def tables_of(table: Table, key: str) -> Iterator[Table]:
    """The tables of `[[key]]`, each with its place; too many are one problem."""
    found = table.data.get(key, ())
    if isinstance(found, Mapping) or not isinstance(found, list | tuple):
        table.note(f"{key} is no list", f"write [[{key}]] with double brackets, once for each")
        return
    most = MAX_BANDS if key == "band" else MAX_TABLES
    if len(found) > most:
        table.note(f"{len(found)} entries of {key}", f"write at most {most}, alike ones once with their count")
        return
    for number, data in enumerate(found, 1):
        place = f"{table.where}, {key} {number}"
        if isinstance(data, Mapping):
            yield Table(data, place, table.problems)
        else:
            table.problems.append(Problem(place, "this is no table of keys", f"write [[{key}]] and its keys below"))


def _single(
    table: Table, key: str, read: "Callable[[Table, Unit | None], Value | None]", unit: Unit | None
) -> Value | None:
    if not table.has(key):
        return None
    data = table.data[key]
    if not isinstance(data, Mapping):
        table.note(f"{key} is no table of keys", f"write [{key}] once, and its keys below")
        return None
    return read(Table(data, f"{table.where}, {key}", table.problems), unit)


def _belt(table: Table, unit: Unit | None) -> Belt:
    table.only(("max_pieces", "max_load", "unit"))
    return Belt(
        max_pieces=table.whole("max_pieces", COUNT),
        max_load_g=table.mass("max_load", table.unit(unit), RATING),
    )


def _anchor(table: Table, unit: Unit | None) -> Anchor | None:
    table.only(("max_load", "unit"))
    if not table.need("max_load", "200"):
        return None
    max_load_g = table.mass("max_load", table.unit(unit), RATING)
    return None if max_load_g is None else Anchor(max_load_g)


def _reach(table: Table, _: Unit | None) -> Reach:
    table.only(("foot_cm", "knee_cm", "pull_cm"))
    usual = Reach()
    lengths = [table.length(key, UM_PER_CM, LENGTH_CM) for key in ("foot_cm", "knee_cm", "pull_cm")]
    defaults = (usual.foot_um, usual.knee_um, usual.pull_um)
    foot, knee, pull = (usual_um if read is None else read for read, usual_um in zip(lengths, defaults, strict=True))
    if not pull < knee <= foot:
        table.note("the pull is longer than from the bar to the knee, or the knee is below the sole",
                   "measure foot_cm and knee_cm from the bar at the dead hang, pull_cm as the body's rise")  # fmt: skip
    return Reach(foot, knee, pull)


def _prefer(table: Table, _: Unit | None) -> Prefer:
    table.only(("vest", "kettlebells_from"))
    return Prefer(table.flag("vest", True), table.whole("kettlebells_from", COUNT))


def _pieces(table: Table, unit: Unit | None) -> tuple[Piece, ...]:
    pieces = []
    for kind in KINDS:
        for one in tables_of(table, kind.kind.value):
            piece = piece_of(one, kind, unit)
            if piece is not None:
                pieces.append(piece)
    return tuple(pieces)


def piece_of(table: Table, kind: type[Piece], unit: Unit | None) -> Piece | None:
    table.only(("mass", "count", "face", "unit"))
    own = table.unit(unit)
    table.need("mass", "5")
    mass_g = table.mass("mass", own, MASS)
    face_g = table.mass("face", own, MASS)
    count = _count(table, kind.kind.value)
    if mass_g is None:
        return None
    written = own if table.has("unit") else None
    return kind(mass_g, 1 if count is None else count, face_g, written)


def _count(table: Table, kind: str) -> int | None:
    value = plain_number(table.data.get("count"))
    if value is not None and value > MAX_COUNT:
        table.note(f"{value:.0f} alike {kind}s", f"write down at most {MAX_COUNT}, those in use")
        return None
    return table.whole("count", COUNT)


def _contradictions(kit: Kit, where: str) -> Iterator[Problem]:
    """What no single table can see."""
    total = sum(piece.count for piece in kit.pieces)
    if total > MAX_PIECES:
        yield Problem(where, f"{total} pieces", f"write down at most {MAX_PIECES}, those in use")
    rating = kit.belt.max_load_g
    if rating is not None and kit.hung and rating < min(piece.mass_g for piece in kit.hung):
        yield Problem(f"{where}, belt", "the rating is below every piece, so nothing may hang from it",
                      "check max_load, or list lighter pieces")  # fmt: skip
    for number, band in enumerate(kit.bands, 1):
        length = kit.reach.foot_um if band.support is Support.FOOT else kit.reach.knee_um
        if band.slack_um >= length:
            yield Problem(f"{where}, band {number}", f'"{band.label}" is slack even at the dead hang',
                          "check rest_length_cm, hitch and the reach")  # fmt: skip
