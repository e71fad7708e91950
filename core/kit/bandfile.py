"""The bands of a kit file: how each one's pull is known, and which are the same rubber set up otherwise."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from core.kit.pieces import Band, Guess, HangTest, Hitch, Known, Make, Readings, Support
from core.kit.table import UM_PER_CM, UM_PER_MM, Table, between
from core.units import Unit

PULL = between("0.1", 500)  # kilograms or pounds
TOP = between(0, 500)
TEST_MASS = between("0.1", 1000)
LENGTH_CM = between(5, 1000)
SIDE_MM = between("0.1", 300)
COUNT = between(1, 20)
MAX_POINTS = 20
READINGS, TEST, MAKE, GUESS = ("hang", "top"), ("test",), ("width_mm", "thickness_mm"), ("guess",)
KEYS = ("label", "of", "count", "hitch", "support", "unit", "rest_length_cm", *READINGS, *TEST, *MAKE, *GUESS)
WAYS = "hang and top; or rest_length_cm, width_mm and thickness_mm; or rest_length_cm and test; or guess"


def read_bands(tables: Sequence[Table], unit: Unit | None) -> tuple[Band, ...]:
    """The bands of these tables, mistakes noted in each; labels are unlike one another and `of` leads to one."""
    read = [(table, _band(table, unit)) for table in tables]
    bands = tuple(band for _, band in read if band is not None)
    if len(bands) == len(read):
        for table, band in read:
            if band is not None:
                _relations(table, band, bands)
    return bands


def _band(table: Table, unit: Unit | None) -> Band | None:
    table.only(KEYS)
    table.need("label", '"amber"')
    label, of = table.text("label"), table.text("of")
    count = table.whole("count", COUNT)
    hitch, support = table.choice("hitch", Hitch), table.choice("support", Support)
    known = _known(table, table.unit(unit))
    if label is None or known is None:
        return None
    return Band(
        label,
        known,
        count=1 if count is None else count,
        of=of,
        hitch=Hitch.ONCE if hitch is None else hitch,
        support=Support.FOOT if support is None else support,
    )


def _known(table: Table, unit: Unit) -> Known | None:
    """How the pull is known: by exactly one of the four ways."""
    ways = [keys for keys in (READINGS, TEST, MAKE, GUESS) if any(table.has(key) for key in keys)]
    if len(ways) != 1:
        what = "two ways to know its pull" if ways else "nothing says how strong it pulls"
        table.note(what, f"give one of: {WAYS}")
        return None
    if ways == [READINGS]:
        return _readings(table, unit)
    if ways == [TEST]:
        return _test(table, unit)
    return _make(table) if ways == [MAKE] else _guess(table, unit)


def _readings(table: Table, unit: Unit) -> Readings | None:
    table.need("hang", "24.0")
    table.need("top", "12.0")
    hang_g, top_g = table.mass("hang", unit, PULL), table.mass("top", unit, TOP)
    if hang_g is None or top_g is None:
        return None
    if top_g > hang_g:
        table.note("top is more than hang, but a band pulls hardest at the dead hang", "swap the two, or read again")
        return None
    return Readings(hang_g, top_g)


def _make(table: Table) -> Make | None:
    needed = [table.need(key, example) for key, example in
              (("rest_length_cm", "104"), ("width_mm", "30"), ("thickness_mm", "4.5"))]  # fmt: skip
    rest = table.length("rest_length_cm", UM_PER_CM, LENGTH_CM)
    width, thick = (table.length(key, UM_PER_MM, SIDE_MM) for key in MAKE)
    if not all(needed) or rest is None or width is None or thick is None:
        return None
    return Make(rest, width, thick)


def _guess(table: Table, unit: Unit) -> Guess | None:
    pull_g = table.mass("guess", unit, PULL)
    return None if pull_g is None else Guess(pull_g)


def _test(table: Table, unit: Unit) -> HangTest | None:
    table.need("rest_length_cm", "83")
    rest = table.length("rest_length_cm", UM_PER_CM, LENGTH_CM)
    found = table.data["test"]
    if not isinstance(found, list | tuple) or not 1 <= len(found) <= MAX_POINTS:
        table.note("test is no short list", "write test = [{mass = 30, length_cm = 125}, …], as hung and measured")
        return None
    points = [_point(table, number, data, unit) for number, data in enumerate(found, 1)]
    sound = tuple(sorted(point for point in points if point is not None))
    if rest is None or len(sound) < len(points) or not _lengthens(table, rest, sound):
        return None
    return HangTest(rest, sound)


def _point(table: Table, number: int, data: object, unit: Unit) -> tuple[int, int] | None:
    point = Table(data if isinstance(data, Mapping) else {}, f"{table.where}, test {number}", table.problems)
    point.only(("mass", "length_cm"))
    point.need("mass", "30")
    point.need("length_cm", "125")
    mass_g, length = point.mass("mass", unit, TEST_MASS), point.length("length_cm", UM_PER_CM, LENGTH_CM)
    return None if mass_g is None or length is None else (mass_g, length)


def _lengthens(table: Table, rest_um: int, points: Sequence[tuple[int, int]]) -> bool:
    """Whether every mass stretches the band beyond its rest length, a heavier one further."""
    if points[0][1] <= rest_um:
        table.note("a hang test no longer than the rest length", "measure the length while the mass hangs free")
        return False
    for (lighter, short), (heavier, long) in pairwise(points):
        if heavier == lighter or long <= short:
            table.note("a heavier mass does not stretch it further", "hang each mass once, still, and measure again")
            return False
    return True


def _relations(table: Table, band: Band, bands: Iterable[Band]) -> None:
    """Labels are unlike even in letter case; `of` names another band, and leads to one that is no set-up."""
    parents = {one.label: one.of for one in bands}
    if sum(one.label.casefold() == band.label.casefold() for one in bands) > 1:
        table.note(f'the label "{band.label}" stands twice', "give each its own, and alike bands once with their count")
    seen, label = {band.label}, band.of
    while label is not None:
        if label not in parents:
            table.note(f'of = "{label}" names no band of this kit', "write the label of the band it is a set-up of")
            return
        if label in seen:
            table.note(f'"{band.label}" is a set-up of itself', "leave out of for the band as it comes")
            return
        seen.add(label)
        label = parents[label]
