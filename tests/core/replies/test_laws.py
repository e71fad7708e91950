"""Laws of reading: it never raises, is deterministic, and looks through digits, dashes, quotes, case and spaces."""

import json
import re
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.language import LANGUAGES
from core.language.understand import examples, phrases
from core.replies import Context, read, render_sets
from core.training import Exercise, Set
from core.units import Unit, amount, grams
from tests.core.replies.test_cases import CASES, rows

PRESCRIBED = {"sets": [{"reps": 5, "added_g": 7500, "bands": []}] * 3}
PIECES = tuple(
    token
    for line in (
        "5 5 4 at 7.5 kg lb rpe 8 mit 3x5 @ + - , . / : ; ? ! ½ ✅ 👍🏽 done fertig hecho fait band amber elbow 4/10",
        "no last second set 2 in the tank 6½ 12,5 bw 72.4 or oder yesterday st # k to failure failed on the 5th 5er",
        "١٢ ５ '' ( ) \n \x00 \u200b plate kettlebell de 16 con à et y und undo",
    )
    for token in re.split(" ", line)
)
messages = st.one_of(
    st.text(max_size=200),
    st.lists(st.sampled_from(PIECES), max_size=30).map(" ".join),
    st.lists(st.sampled_from(PIECES), max_size=30).map("".join),
)
contexts = st.fixed_dictionaries(
    {},
    optional={
        "unit": st.sampled_from(["kg", "lb"]),
        "language": st.sampled_from([*LANGUAGES, "it"]),
        "bands": st.lists(st.sampled_from(["amber", "slate", "go", "the thin one", "n°2", "2", ""]), max_size=3),
        "prescribed": st.sampled_from([PRESCRIBED, {"sets": []}, {"sets": [{"reps": 8, "bands": ["amber"]}]}]),
        "logged": st.lists(
            st.builds(lambda reps: {"reps": reps, "added_g": 5000, "bands": []}, st.integers(0, 9)), max_size=3
        ),
        "bodyweight_g": st.sampled_from([60000, 72400]),
        "today": st.sampled_from(["2026-10-05", "2024-02-29"]),
        "exercises": st.lists(st.sampled_from(["pull_up", "dip", "hang", "negative"]), max_size=3),
        "asked": st.sampled_from([None, *({"about": one} for one in ("pain", "effort", "bodyweight", "choice"))]),
    },
)


@given(messages, contexts)
@settings(max_examples=250, deadline=None)
def test_never_raises_and_is_deterministic(text: str, context: dict[str, Any]) -> None:
    known = Context.from_json(context)
    reading = read(text, known)
    assert reading == read(text, known)
    if reading.unclear is not None:
        assert reading.sets == ()
        assert reading.mode == "none"
    assert (reading.mode == "none") <= (reading.sets == ())
    assert all(0 <= one.reps <= 50 and (one.added_g or 0) <= 150_000 for one in reading.sets)


@given(st.text(alphabet=st.characters(exclude_categories=("Nd", "Nl", "No")), max_size=80))
@settings(max_examples=250, deadline=None)
def test_letters_without_number_never_add_counts_of_their_own(text: str) -> None:
    """With nothing prescribed and nothing logged, words alone record nothing unless they are number words."""
    reading = read(re.sub(r"\w", "q", text), Context())
    assert reading.sets == ()


@given(st.lists(st.characters(min_codepoint=0x2600, max_codepoint=0x26FF), max_size=20).map("".join))
def test_noise_records_nothing(text: str) -> None:
    assert read(text.replace("☑", ""), Context.from_json({"prescribed": PRESCRIBED})).mode == "none"


CHANGES = {
    "upper case": str.upper,
    "wide digits": lambda text: text.translate(str.maketrans("0123456789", "０１２３４５６７８９")),
    "arabic digits": lambda text: text.translate(str.maketrans("0123456789", "٠١٢٣٤٥٦٧٨٩")),
    "en dashes": lambda text: text.replace("-", "–"),
    "typographic quotes": lambda text: text.replace("'", "’"),
    "double spaces": lambda text: text.replace(" ", "   "),
    "no-break spaces": lambda text: text.replace(" ", "\u00a0"),
    "format characters": lambda text: text.replace(" ", " \u200b"),
    "spaces around": lambda text: f"  {text} ",
}


@pytest.mark.parametrize("change", CHANGES)
@pytest.mark.parametrize("language", LANGUAGES)
def test_spelling_of_characters_does_not_matter(change: str, language: str) -> None:
    for row in rows(f"blind_{language}.jsonl")[::7]:
        text = row["text"]
        if change == "upper case" and (len(text.upper()) != len(text) or text.upper().lower() != text.lower()):
            continue
        context = Context.from_json(row["context"])
        plain, changed = read(text, context).to_json(), read(CHANGES[change](text), context).to_json()
        del plain["note"], changed["note"]
        for one in (plain, changed):
            one["unclear"] = one["unclear"] is not None
        assert plain == changed, text


masses = st.integers(0, 240).map(lambda quarter: quarter * 250)
rated = st.one_of(st.none(), st.integers(2, 20).map(lambda half: half / 2))
some_sets = st.lists(
    st.builds(
        Set,
        reps=st.integers(1, 20),
        added_g=masses,
        bands=st.sampled_from([(), ("amber",), ("amber", "slate")]),
        rpe=rated,
        failed=st.booleans(),
    ),
    min_size=1,
    max_size=6,
)


@given(some_sets, st.sampled_from(LANGUAGES), st.sampled_from(list(Unit)))
@settings(max_examples=300, deadline=None)
def test_what_is_rendered_is_read_back(sets: list[Set], language: str, unit: Unit) -> None:
    typed = [Set(one.reps, grams(amount(one.added_g or 0, unit), unit), one.bands, one.rpe, one.failed) for one in sets]
    text = render_sets(typed, language, unit)
    reading = read(text, Context(unit=unit, language=language, bands=("amber", "slate")))
    assert list(reading.sets) == typed, text


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("exercise", [one for one in Exercise if one not in (Exercise.PULL_UP, Exercise.OTHER)])
def test_other_exercises_are_read_back(language: str, exercise: Exercise) -> None:
    holds = exercise is Exercise.HANG
    done = [Set(1 if holds else 6, 0, (), exercise=exercise, seconds=30 if holds else None)]
    text = render_sets(done, language, Unit.KG)
    context = Context(language=language, exercises=(Exercise.PULL_UP, exercise))
    assert list(read(text, context).sets) == done, text


@given(st.integers(1, 40), st.sampled_from(LANGUAGES))
def test_kilograms_and_pounds_of_the_context_give_the_same_grams(load: int, language: str) -> None:
    text = f"5 5 4 @ {load} kg"
    assert (
        read(text, Context(unit=Unit.KG, language=language)).sets
        == read(text, Context(unit=Unit.LB, language=language)).sets
    )
    text = f"5 5 4 @ {load} lb"
    assert (
        read(text, Context(unit=Unit.KG, language=language)).sets
        == read(text, Context(unit=Unit.LB, language=language)).sets
    )


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_example_of_the_language_file_reads_as_it_claims(language: str) -> None:
    assert examples(language)
    for example in examples(language):
        claimed = [Set.from_json({"added_g": 0, "bands": []} | dict(one)) for one in example.sets]
        context = Context.from_json(dict(example.context) | {"language": language})
        assert list(read(example.text, context).sets) == claimed, example.text


def test_what_the_fuzzer_found_interesting_is_read_without_a_fault() -> None:
    """Texts that reached new code in coverage-guided fuzzing; none may raise, differ on a second reading or go wild."""
    known = Context.from_json({"prescribed": PRESCRIBED, "bands": ["amber", "2"], "today": "2026-10-05"})
    found = [json.loads(line) for line in (CASES / "fuzzed.jsonl").read_text(encoding="utf-8").splitlines()]
    assert len(found) > 100
    for text in found:
        reading = read(text, known)
        assert reading == read(text, known)
        assert all(one.reps <= 50 for one in reading.sets), text


@pytest.mark.parametrize("language", LANGUAGES)
def test_chatter_beside_a_report_never_changes_its_sets(language: str) -> None:
    """A sentence that records nothing alone may make the coach ask; it never makes another record."""
    cases = [row for row in rows(f"blind_{language}.jsonl") if not row["context"].get("asked")]
    quiet = ("skipped", "bodyweight_g", "pain", "unclear", "healed", "away", "move_to")
    chatter = [
        row["text"].strip()
        for row in cases
        if row["expect"].get("mode") == "none"
        and len(row["text"]) < 90
        and not any(row["expect"].get(one) for one in quiet)
    ]
    reports = ("5 5 4 @ 12.5 kg", "6, 5, 5")
    context = Context.from_json({"prescribed": PRESCRIBED, "language": language})
    for text in (one for one in chatter if one and "dip" not in one.lower() and "fondo" not in one.lower()):
        for report in reports:
            alone = read(report, context).sets
            beside = read(f"{report}. {text}", context)
            assert beside.unclear is not None or beside.sets in (alone, ()), f"{report}. {text}"


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_knows_the_same_meanings(language: str) -> None:
    """`pound_or_half_kilo` is a matter of the language; every other meaning has a place in every file."""
    own, reference = {meaning.kind for _, meaning in phrases(language)}, {meaning.kind for _, meaning in phrases("en")}
    empty = {
        "one",
        "half_past",
        "pound_or_half_kilo",
        "fixed_sets",
        "n_times",
        "up_by_mass",
        "clock_between",
        "set_noun",
    }
    assert own ^ reference <= empty
