"""Kit files: read, written, and refused with every mistake in its own sentence."""

import json
import tomllib
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.kit import Band, Belt, HangTest, Kit, Plate, Readings, Vest, kit_from_json, kit_from_toml, kit_to_json
from core.problems import BadInput, Problem
from core.training import Json
from core.units import Unit
from tests.core.kit.kits import GYM_BAG, kits

WORDS = tuple(
    [
        "unit",
        "belt",
        "plate",
        "kettlebell",
        "vest",
        "band",
        "anchor",
        "reach",
        "prefer",
        "mass",
        "count",
        "label",
        "of",
        "hang",
        "top",
        "guess",
        "test",
        "max_load",
        "max_pieces",
        "rest_length_cm",
        "length_cm",
        "kg",
    ]
)


def broken(place: int, text: str) -> str:
    """The ordinary bag with something typed over it."""
    return GYM_BAG[:place] + text + GYM_BAG[place + len(text) :]


def read_or_refused(read: Callable[[Any], Kit], source: object) -> Kit | tuple[Problem, ...]:
    try:
        return read(source)
    except BadInput as refused:
        return refused.problems


def told(text: str) -> list[str]:
    with pytest.raises(BadInput) as refused:
        kit_from_toml(text, "bag.toml")
    return [str(problem) for problem in refused.value.problems]


def test_an_ordinary_bag() -> None:
    kit = kit_from_toml(GYM_BAG)
    assert kit.belt == Belt(5, 60_000)
    assert kit.pieces[0] == Plate(1250, 2)
    assert kit.pieces[1] == Plate(4930, 1, face_g=5000)
    assert kit.pieces[2] == Plate(11_340, 1, unit=Unit.LB)
    assert kit.pieces[-1] == Vest(10_000)
    assert kit.bands[:2] == (
        Band("amber", Readings(24_000, 12_000)),
        Band("amber knotted", Readings(31_000, 17_000), of="amber"),
    )
    assert kit.bands[3].known == HangTest(838_000, ((30_600, 1_226_000), (42_000, 1_537_000)))
    assert kit.rubber(kit.bands[1]) == "amber"


@given(kits())
def test_written_and_read_again_it_is_the_same_kit(kit: Kit) -> None:
    assert kit_from_json(json.loads(json.dumps(kit_to_json(kit)))) == kit


def test_json_is_the_file_as_json() -> None:
    as_json = json.loads(json.dumps(tomllib.loads(GYM_BAG)))
    assert kit_from_json(as_json) == kit_from_toml(GYM_BAG)


def test_an_empty_object_is_a_bar_and_nothing_else() -> None:
    assert kit_from_json({}) == Kit()
    assert kit_from_json({"from": "2026-10-01", "belt": None}) == Kit()


def test_pounds_are_grams_at_once() -> None:
    kit = kit_from_toml('unit = "lb"\n[[plate]]\nmass = 2.5\n[[plate]]\nmass = 1.25\nunit = "kg"')
    assert [piece.mass_g for piece in kit.pieces] == [1134, 1250]


BELT = "[belt]\nmax_pieces = 3\n"
MISTAKES = {
    "nothing in it": (BELT, "without pieces or bands"),
    "empty": ("", "without pieces or bands"),
    "no toml": ("[belt", "no TOML"),
    "unit": ('unit = "stone"\n[[plate]]\nmass = 1', "unit = stone is unknown"),
    "no mass": ("[[plate]]\ncount = 2", "no mass"),
    "negative": ("[[plate]]\nmass = -5", "mass = -5 is negative"),
    "zero": ("[[plate]]\nmass = 0", "mass = 0 is out of range"),
    "too light": ("[[plate]]\nmass = 0.0004", "less than a gram"),
    "absurd": ("[[kettlebell]]\nmass = 16000", "mass = 16000 is out of range"),
    "huge": ("[[plate]]\nmass = 1e999999", "out of range"),
    "many digits": (f"[[plate]]\nmass = {'9' * 3000}", "too many digits"),
    "more digits than python reads": (f"[[plate]]\nmass = {'9' * 5000}", "no TOML"),
    "nan": ("[[plate]]\nmass = nan", "no number"),
    "inf": ("[[plate]]\nmass = inf", "no number"),
    "true": ("[[plate]]\nmass = true", "no number"),
    "text": ('[[plate]]\nmass = "5"', "no number"),
    "half a plate": ("[[plate]]\nmass = 5\ncount = 1.5", "no whole number"),
    "no plate": ("[[plate]]\nmass = 5\ncount = 0", "count = 0 is out of range"),
    "10,000 plates": ("[[plate]]\nmass = 5\ncount = 10000", "10000 alike plates"),
    "10,000 entries": ("[[plate]]\nmass = 5\n" * 10_000, "10000 entries of plate"),
    "301 pieces": ("[[plate]]\nmass = 5\ncount = 100\n" * 3 + "[[plate]]\nmass = 5", "301 pieces"),
    "slip": ("[[plate]]\nmas = 5", 'unknown key "mas"; write "mass"'),
    "unknown table": ("[[plate]]\nmass = 5\n[bar]\nx = 1", 'unknown key "bar"'),
    "single brackets": ("[plate]\nmass = 5", "write [[plate]] with double brackets"),
    "plate list": ("plate = [5, 10]", "this is no table of keys"),
    "belt list": ("belt = 5\n[[plate]]\nmass = 5", "belt is no table of keys"),
    "no room": ("[belt]\nmax_pieces = 0\n[[plate]]\nmass = 5", "max_pieces = 0 is out of range"),
    "weak chain": (f"{BELT}max_load = 4\n[[plate]]\nmass = 5\n[[vest]]\nmass = 1", "the rating is below every piece"),
    "anchor": ("[anchor]\n[[plate]]\nmass = 5", "no max_load"),
    "21 bands": ('[[band]]\nlabel = "a"\nguess = 5\n' * 21, "21 entries of band"),
    "no label": ("[[band]]\nhang = 20\ntop = 10", "no label"),
    "blank label": ('[[band]]\nlabel = " "\nhang = 20\ntop = 10', "no text"),
    "long label": (f'[[band]]\nlabel = "{"a" * 41}"\nhang = 20\ntop = 10', "too long"),
    "odd label": ('[[band]]\nlabel = "a\\u001bb"\nhang = 20\ntop = 10', "odd characters"),
    "top over hang": ('[[band]]\nlabel = "a"\nhang = 10\ntop = 12', "top is more than hang"),
    "one reading": ('[[band]]\nlabel = "a"\nhang = 10', "no top"),
    "no pull": ('[[band]]\nlabel = "a"', "nothing says how strong it pulls"),
    "two ways": ('[[band]]\nlabel = "a"\nhang = 10\ntop = 5\nguess = 8', "two ways"),
    "half a make": ('[[band]]\nlabel = "a"\nrest_length_cm = 104\nwidth_mm = 20', "no thickness_mm"),
    "short test": (
        '[[band]]\nlabel = "a"\nrest_length_cm = 90\ntest = [{mass = 10, length_cm = 80}]',
        "no longer than",
    ),
    "odd test": (
        '[[band]]\nlabel = "a"\nrest_length_cm = 90\ntest = [{mass = 10, length_cm = 99}, {mass = 20, length_cm = 98}]',
        "does not stretch it further",
    ),
    "twice": ('[[band]]\nlabel = "a"\nguess = 8\n[[band]]\nlabel = "A"\nguess = 8', "stands twice"),
    "of nobody": ('[[band]]\nlabel = "a"\nguess = 8\nof = "b"', 'of = "b" names no band'),
    "of itself": ('[[band]]\nlabel = "a"\nguess = 8\nof = "a"', "set-up of itself"),
    "no flag": ("[prefer]\nvest = 1\n[[plate]]\nmass = 5", "vest = 1 is neither true nor false"),
    "no preference": ("[prefer]\nred = true\n[[plate]]\nmass = 5", 'unknown key "red"'),
    "reach": ("[reach]\npull_cm = 190\n[[plate]]\nmass = 5", "the pull is longer"),
    "too long": ("#" * 200_001, "too long for a kit"),
}


@pytest.mark.parametrize("name", MISTAKES)
def test_a_mistake_has_its_own_sentence(name: str) -> None:
    text, said = MISTAKES[name]
    sentences = told(text)
    assert any(said in sentence for sentence in sentences), sentences
    assert all(sentence.startswith("bag.toml") and len(sentence) < 300 for sentence in sentences)
    assert len(sentences) == 1 or name in {"twice", "plate list"}


def test_the_sentences_differ() -> None:
    firsts = [
        told(text)[0].split(": ", 1)[1] for name, (text, _) in MISTAKES.items() if name not in {"empty", "odd label"}
    ]
    assert len(set(firsts)) == len(firsts)


def test_every_mistake_is_told_at_once_with_its_place() -> None:
    places = [
        sentence.split(":")[0] for sentence in told("[belt]\nmax_pieces = 0\n[[plate]]\nmas = 5\n[[vest]]\nmass = -1")
    ]
    assert places == ["bag.toml, belt", "bag.toml, plate 1", "bag.toml, vest 1"]


@pytest.mark.parametrize("data", [None, [], 5, "kit", {"plate": 5}, {"plate": [None]}, {"band": [[]]}, {"unit": []}])
def test_json_of_any_shape_is_read_or_refused(data: Json) -> None:
    with pytest.raises(BadInput):
        kit_from_json(data)


SHAPES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(WORDS) | st.text(max_size=6), inner),
    max_leaves=12,
)


@settings(max_examples=100, deadline=None)
@given(st.dictionaries(st.sampled_from(WORDS), SHAPES))
def test_json_gone_wild_is_a_kit_or_refused_in_short_sentences(data: Json) -> None:
    outcome = read_or_refused(kit_from_json, data)
    assert isinstance(outcome, Kit) or all(0 < len(str(problem)) < 400 for problem in outcome)


@settings(max_examples=200, deadline=None)
@given(
    st.text(max_size=60) | st.tuples(st.integers(0, len(GYM_BAG)), st.text(max_size=3)).map(lambda cut: broken(*cut))
)
def test_any_text_is_a_kit_or_refused(text: str) -> None:
    outcome = read_or_refused(kit_from_toml, text)
    assert outcome.pieces or outcome.bands if isinstance(outcome, Kit) else outcome
