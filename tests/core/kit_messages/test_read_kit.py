"""The kit by message: what is said, in four languages, and what is left alone."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.kit import Anchor, Band, Belt, Guess, Kettlebell, Kit, Plate, Readings, Vest, kit_from_toml
from core.kit_messages import kit_items, read_kit
from core.kit_messages.tokens import vocabulary
from core.language import LANGUAGES, render
from core.problems import BadInput
from core.units import Unit
from tests.core.kit.kits import GYM_BAG

AMBER = Band("amber", Readings(24_000, 12_000))
BAG = Kit(belt=Belt(4), pieces=(Plate(1250, 2), Plate(2500, 2), Kettlebell(8000)), bands=(AMBER,))
LISTED = Kit(belt=Belt(4), pieces=(Plate(1250, 2), Plate(2500, 2), Kettlebell(8000)))
PLATES, BELL = (Plate(1250, 2), Plate(2500, 2)), Kettlebell(8000)

WHOLE = [
    ("en", "I have 2x1.25, 2x2.5, an 8 bell, chain takes 4"),
    ("en", "Kit: 2 × 1,25 kg, two 2.5s and one 8kg kettlebell. 4 on the chain"),
    ("en", "I own a pair of 1.25 plates + 2*2.5 + 8 kb; my chain holds 4 pieces"),
    ("en", "have ２x1.25\n2 plates of 2.5\nkettlebell 8\nchain 4"),
    ("de", "Ich habe 2x1,25, 2x2,5 und eine 8er Kugelhantel, die Kette fasst 4"),
    ("es", "tengo dos discos de 1,25, 2x2,5, una kettlebell de 8; en la cadena caben 4"),
    ("fr", "j'ai 2x1,25, deux disques de 2,5, une kettlebell de 8, la chaîne prend 4"),
]


@pytest.mark.parametrize(("language", "text"), WHOLE)
def test_a_whole_kit(language: str, text: str) -> None:
    change = read_kit(text, Kit(), language)
    assert change is not None
    assert (change.kit, change.today, change.unclear) == (LISTED, False, ())


def changed(**parts: object) -> Kit:
    given = {"belt": BAG.belt, "pieces": BAG.pieces, "bands": BAG.bands, **parts}
    return Kit(**given)


CHANGES = [
    ("en", "no 1.25 today", changed(pieces=(Plate(2500, 2), BELL)), True),
    ("en", "hotel: only the 8", changed(pieces=(BELL,), bands=()), True),
    ("en", "only one 1.25 and the 8 today", changed(pieces=(Plate(1250), BELL), bands=()), True),
    ("en", "no kettlebell today", changed(pieces=PLATES), True),
    ("en", "forgot the belt", changed(pieces=()), True),
    ("en", "no bands today", changed(bands=()), True),
    ("en", "only the amber band", changed(pieces=()), True),
    ("en", "lost one 2.5", changed(pieces=(Plate(1250, 2), Plate(2500), BELL)), False),
    ("en", "bought two 5s and a 10 kg vest", changed(pieces=(*BAG.pieces, Plate(5000, 2), Vest(10_000))), False),
    ("en", "also 8, 12 and 16 bells", changed(pieces=(*BAG.pieces, *map(Kettlebell, (8000, 12_000, 16_000)))), False),
    ("en", "also kettlebells: 12, 16", changed(pieces=(*BAG.pieces, *map(Kettlebell, (12_000, 16_000)))), False),
    ("en", "bought a 25 lb plate", changed(pieces=(*BAG.pieces, Plate(11_340, unit=Unit.LB))), False),
    ("en", "chain takes 5 up to 60 kg", changed(belt=Belt(5, 60_000)), False),
    ("de", "Ich habe zwei 5er Scheiben gekauft", changed(pieces=(*BAG.pieces, Plate(5000, 2))), False),
    ("de", "ich habe die 1,25er Scheiben verkauft!", changed(pieces=(Plate(2500, 2), BELL)), False),
    ("de", "die Kugelhantel habe ich heute nicht", changed(pieces=PLATES), True),
    ("en", "I have two 5 plates also", changed(pieces=(*BAG.pieces, Plate(5000, 2))), False),
    (
        "en",
        "slate band 30 at the hang 16 on top",
        changed(bands=(AMBER, Band("slate", Readings(30_000, 16_000)))),
        False,
    ),
    ("en", "amber pulls 26 at the hang, 13 on top", changed(bands=(Band("amber", Readings(26_000, 13_000)),)), False),
    ("en", "AMBER band: top 13, hang 26", changed(bands=(Band("amber", Readings(26_000, 13_000)),)), False),
    ("en", "another amber band", changed(bands=(Band("amber", Readings(24_000, 12_000), 2),)), False),
    ("de", "heute ohne 1,25", changed(pieces=(Plate(2500, 2), BELL)), True),
    ("de", "Hotel, nur die 8", changed(pieces=(BELL,), bands=()), True),
    (
        "de",
        "moosgrünes Band 20 unten 9 oben",
        changed(bands=(AMBER, Band("moosgrünes", Readings(20_000, 9000)))),
        False,
    ),
    ("es", "hoy sin 1,25", changed(pieces=(Plate(2500, 2), BELL)), True),
    ("es", "banda verde 20 abajo 9 arriba", changed(bands=(AMBER, Band("verde", Readings(20_000, 9000)))), False),
    ("fr", "pas de 1,25 aujourd'hui", changed(pieces=(Plate(2500, 2), BELL)), True),
    ("fr", "hôtel : seulement la 8", changed(pieces=(BELL,), bands=()), True),
]


@pytest.mark.parametrize(("language", "text", "kit", "today"), CHANGES)
def test_corrections(language: str, text: str, kit: Kit, today: bool) -> None:
    change = read_kit(text, BAG, language)
    assert change is not None
    assert (change.kit, change.today, change.unclear) == (kit, today, ())


def test_pounds_and_kilograms_in_one_bag() -> None:
    text = "I have 2 x 2.5, 45 lb plate, 20kg kettlebell. chain takes 5 pieces, rated 120 lb. bar holds 400"
    change = read_kit(text, Kit(unit=Unit.LB), "en")
    assert change is not None
    assert [piece.mass_g for piece in change.kit.pieces] == [1134, 20_412, 20_000]
    assert change.kit.belt == Belt(5, 54_431)
    assert change.kit.anchor == Anchor(181_437)


def test_asked_for_bare_masses_are_a_kit() -> None:
    change = read_kit("5, 10, 20", Kit(), "en", asked=True)
    assert change is not None
    assert change.kit.pieces == (Plate(5000), Plate(10_000), Plate(20_000))
    guess = read_kit("slate band about 15", Kit(), "en", asked=True)
    assert guess is not None
    assert guess.kit.bands == (Band("slate", Guess(15_000)),)


@pytest.mark.parametrize(
    "text",
    ["5 5 4 at 7.5", "5 5 amber band", "3x5 with 10", "only 5 reps", "what's next?", "5", "no", "only two today",
     "16kb 5 5 5", "I have 3 sets left", "elbow's fine", "", "5 5 4 with a 5 plate and a 2.5"],
)  # fmt: skip
def test_sets_and_chatter_are_no_kit(text: str) -> None:
    assert read_kit(text, BAG, "en") is None


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("no 3 kg plate today", "Nothing in your kit weighs 3 kg."),
        ("no vest today", "There is none of that in your kit."),
        ("I have a purple band", "How hard does the band purple pull?"),
        ("I have 2x3x4x5 plates", "I could not read"),
        ("I have 1.5x5", "I could not read"),
    ],
)
def test_what_is_unclear_is_asked(text: str, said: str) -> None:
    change = read_kit(text, BAG, "en")
    assert change is not None
    assert any(said in render(one, "en", Unit.KG) for one in change.unclear)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("I have 10000x5", "10000 alike plates"),
        ("I have 2x1.25 and a 0 kg plate", "mass = 0 is out of range"),
        ("I have 2x900", "mass = 900 is out of range"),
        ("I have 2x5, chain takes 5, rated 3 kg", "the rating is below every piece"),
        ("amber band 12 at the hang 24 on top", "top is more than hang"),
        (f"I have 2x{'9' * 900}", "out of range"),
    ],
)
def test_what_is_no_kit_is_refused_like_its_file(text: str, said: str) -> None:
    with pytest.raises(BadInput, match=said):
        read_kit(text, BAG, "en")


@settings(max_examples=300, deadline=None)
@given(st.data(), st.sampled_from(LANGUAGES))
def test_any_text_is_a_kit_or_none_or_refused(data: st.DataObject, language: str) -> None:
    words = st.sampled_from(
        [*sorted(vocabulary(language)), "2x", "1.25", "8", "/", ",", ".", ":", "amber", "é", "٣", "½"]
    )
    text = data.draw(st.text(max_size=40) | st.lists(words, max_size=12).map(" ".join))
    try:
        change = read_kit(text, BAG, language, asked=True)
    except BadInput:
        return
    if change is not None:
        assert all(render(one, language, Unit.KG) for one in (change.question, *change.unclear))


@pytest.mark.parametrize("language", LANGUAGES)
def test_shown_back_as_a_list(language: str) -> None:
    items = [render(one, language, Unit.KG) for one in kit_items(kit_from_toml(GYM_BAG))]
    assert len(items) == len(set(items)) == 5 + 3 + 5
    assert kit_items(Kit())[0].key == "kit.empty"


def test_english_list() -> None:
    items = [render(one, "en", Unit.KG) for one in kit_items(kit_from_toml(GYM_BAG))]
    assert items[:2] == ["2 plates of 1.25 kg", "a plate of 4.93 kg (stamped 5 kg)"]
    assert "the band amber knotted (31 kg at the hang, 17 kg on top), which is amber set up otherwise" in items
