"""Random kits for laws, and one ordinary kit file."""

from hypothesis import strategies as st

from core.kit import (
    Anchor,
    Band,
    Belt,
    Guess,
    HangTest,
    Hitch,
    Kettlebell,
    Kit,
    Known,
    Make,
    Piece,
    Plate,
    Prefer,
    Reach,
    Readings,
    Support,
    Vest,
)
from core.units import Unit

GYM_BAG = """
unit = "kg"
[belt]
max_pieces = 5
max_load = 60
[[plate]]
mass = 1.25
count = 2
[[plate]]
mass = 4.93
face = 5
[[plate]]
mass = 25
unit = "lb"
[[kettlebell]]
mass = 8
count = 1
[[vest]]
mass = 10
[anchor]
max_load = 200
[[band]]
label = "amber"
hang = 24.0
top = 12.0
[[band]]
label = "amber knotted"
of = "amber"
hang = 31.0
top = 17.0
[[band]]
label = "slate"
rest_length_cm = 104
width_mm = 22
thickness_mm = 4.5
support = "knee"
[[band]]
label = "moss"
rest_length_cm = 83.8
test = [{mass = 30.6, length_cm = 122.6}, {mass = 42, length_cm = 153.7}]
[[band]]
label = "loan"
guess = 15
"""

units = st.none() | st.sampled_from(Unit)


@st.composite
def pieces(draw: st.DrawFn, most: int = 4) -> Piece:
    kind = draw(st.sampled_from((Plate, Kettlebell, Vest)))
    face = draw(st.none() | st.integers(1, 50_000))
    return kind(draw(st.integers(1, 50_000)), draw(st.integers(1, most)), face, draw(units))


@st.composite
def knowledge(draw: st.DrawFn) -> Known:
    rest = draw(st.integers(300, 1000)) * 1000
    hang = draw(st.integers(100, 60_000))
    points = tuple((2000 * number, rest + 1000 * number) for number in range(1, draw(st.integers(2, 5))))
    ways: tuple[Known, ...] = (
        Readings(hang, draw(st.integers(0, hang))),
        HangTest(rest, points),
        Make(rest, draw(st.integers(100, 99_999)), draw(st.integers(100, 9_999))),
        Guess(draw(st.integers(100, 90_000))),
    )
    return draw(st.sampled_from(ways))


@st.composite
def kits(draw: st.DrawFn) -> Kit:
    labels = draw(st.lists(st.text("abcdef éß", min_size=1, max_size=8), max_size=4, unique_by=str.casefold))
    clean = [label for label in labels if label == label.strip()]
    bands = tuple(
        Band(
            label,
            draw(knowledge()),
            draw(st.integers(1, 3)),
            clean[0] if place and draw(st.booleans()) else None,
            draw(st.sampled_from(Hitch)),
            draw(st.sampled_from(Support)),
        )
        for place, label in enumerate(clean)
    )
    foot = draw(st.integers(1200, 2600))
    return Kit(
        unit=draw(st.sampled_from(Unit)),
        belt=Belt(draw(st.none() | st.integers(1, 9)), draw(st.none() | st.integers(50_000, 200_000))),
        pieces=tuple(draw(st.lists(pieces(), max_size=5))),
        anchor=draw(st.none() | st.builds(Anchor, st.integers(1000, 300_000))),
        bands=bands,
        prefer=draw(st.builds(Prefer, st.booleans(), st.none() | st.integers(1, 20))),
        reach=Reach(foot * 1000, (foot - 100) * 1000, 500_000),
    )
