"""Every language says everything, with the same values, in its own plurals and its own marks."""

import pytest

from core.language import LANGUAGES, REFERENCE, render, sentences, word_file
from core.language.places import place
from core.safety import RED_FLAGS
from core.units import Unit
from tests.core.language.laws import COUNTED, badly_set, filled, forms, poor_plurals, sample, unlike, untidy

OTHERS = tuple(one for one in LANGUAGES if one != REFERENCE)
# parts of a sentence, with their space or comma
BARE = ("talk.exercise.", "talk.plan.", "talk.coach.at_most", "talk.pain.and_morning")
TABLES = (
    "requests",
    "courtesy",
    "answers",
    "alarm",
    "alarm_denied",
    "coach",
    "languages",
    "lengths",
    "aims",
    "weekdays",
)


@pytest.mark.parametrize("language", OTHERS)
def test_says_what_english_says(language: str) -> None:
    assert list(unlike(sentences(REFERENCE), sentences(language))) == []


def test_the_law_sees_what_is_missing_and_what_is_more() -> None:
    english = {"a": "{x} of {y}", "b": {"one": "one {z}", "other": "{n} {z}"}}
    assert list(unlike(english, english)) == []
    assert list(unlike(english, {"a": "{x} {y}"})) == ["b: missing"]
    assert list(unlike(english, english | {"c": ""})) == ["c: unknown"]
    assert list(unlike(english, english | {"a": "{x}"})) == ["a: ['y']"]
    assert list(unlike(english, english | {"a": "{x} {y} {w}"})) == ["a: ['w']"]
    assert list(unlike(english, english | {"b": "{n} {z}"})) == ["b: plural in one language only"]
    assert list(unlike(english, english | {"b": {"one": "eins", "other": "{n}"}})) == ["b: ['z']"]


@pytest.mark.parametrize("language", LANGUAGES)
def test_plurals_are_the_languages_own(language: str) -> None:
    assert list(poor_plurals(language, sentences(language))) == []


def test_the_plural_law_sees_a_form_too_few_and_a_hidden_number() -> None:
    two = {"a": {"one": "a day", "other": "{n} days"}}
    assert list(poor_plurals("en", two)) == []
    assert list(poor_plurals("es", two)) == ["a: many"]
    assert "a: one hides its number" in list(poor_plurals("fr", two))  # "0 jour" and "1 jour"
    assert list(poor_plurals("de", {"a": {"other": "{n}"}})) == ["a: one"]
    assert list(poor_plurals("de", {"a": {"one": "1", "few": "{n}", "other": "{n}"}})) == ["a: few"]
    assert list(poor_plurals("de", {"a": {"one": "{x}", "other": "{n}"}})) == ["a: other leaves out ['x']"]


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_sentence_renders_tidily(language: str) -> None:
    for key, sentence in sentences(language).items():
        for n in (0, 1, 2, 5, 11, 21, 1_000_000) if not isinstance(sentence, str) else (7,):
            text = render(filled(key, sentence, n), language, Unit.KG)
            assert text.strip() or key == "talk.nothing"
            assert untidy(text.strip() if key.startswith(BARE) else text) is None, (key, text)
            assert text == text.strip() or key.startswith(BARE), (key, text)


@pytest.mark.parametrize(
    "text", ["left {name}", "two  spaces", "before None after", "with ()", "a,, b", "done..", "space .", "( x)"]
)
def test_the_tidiness_law_can_fail(text: str) -> None:
    assert untidy(text) is not None
    assert untidy("Tidy: 5, 5, 4 with 7.5 kg (then failed) …") is None


@pytest.mark.parametrize("language", LANGUAGES)
def test_marks_are_the_languages_own(language: str) -> None:
    faults = [
        fault
        for key, sentence in sentences(language).items()
        if key != "pattern.day"
        for text in forms(sentence).values()
        for fault in badly_set(language, text)
    ]
    assert faults == []


@pytest.mark.parametrize(
    ("language", "text"),
    [
        ("en", 'say "next"'), ("en", "can't"), ("de", "sag “weiter”"), ("de", "sag „weiter"), ("es", "Di «hoy no"),
        ("es", "Hoy?"), ("fr", "C'est bon"), ("fr", "Prêt ?"), ("fr", "Prêt?"), ("fr", "«\u00a0aide »"), ("fr", "85 %"),
    ],
)  # fmt: skip
def test_the_law_of_marks_can_fail(language: str, text: str) -> None:
    assert list(badly_set(language, text))


def test_counts_are_inflected() -> None:
    assert _said("reason.rest_of_today", "de", 1) == "Heute ist noch 1 Satz übrig."
    assert _said("reason.rest_of_today", "de", 2) == "Heute sind noch 2 Sätze übrig."
    assert _said("reason.rest_of_today", "es", 1) == "Hoy queda 1 serie."
    assert _said("reason.rest_of_today", "es", 4) == "Hoy quedan 4 series."
    assert _said("reason.rest_of_today", "fr", 1) == "Il reste 1 série aujourd’hui."
    assert _said("reason.rest_of_today", "fr", 2) == "Il reste 2 séries aujourd’hui."
    assert len(COUNTED) > 100


def _said(key: str, language: str, n: int) -> str:
    return render(filled(key, sentences(language)[key], n), language, Unit.KG)


@pytest.mark.parametrize("language", OTHERS)
def test_nothing_is_left_in_english(language: str) -> None:
    """A whole sentence that reads as in English was forgotten."""
    same = [
        key
        for key, sentence in sentences(language).items()
        if key != "pattern.day"
        and sentence == sentences(REFERENCE)[key]
        and len([word for word in str(sentence).split() if "{" not in word]) > 2
    ]
    assert same == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_word_tables_have_the_keys_of_english(language: str) -> None:
    for table in TABLES:
        assert word_file(language)[table].keys() == word_file(REFERENCE)[table].keys(), table
        assert all(word_file(language)[table].values()), table


@pytest.mark.parametrize(
    ("language", "named", "said"),
    [
        ("en", "lower back", "lower back"), ("de", "elbow", "Ellbogen"), ("de", "Lower Back", "unterer Rücken"),
        ("es", "upper arm", "brazo"), ("fr", "knee", "genou"), ("fr", "left ear", "left ear"),
    ],
)  # fmt: skip
def test_sore_places(language: str, named: str, said: str) -> None:
    found = place(named)
    assert (found if isinstance(found, str) else render(found, language, Unit.KG)) == said


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_place_that_is_read_has_words(language: str) -> None:
    read = {*word_file(language)["understand"]["place"], *RED_FLAGS}
    assert len(read) > 10
    assert [named for named in read if isinstance(place(named), str)] == []


def test_samples_are_of_the_right_kind() -> None:
    assert sample("name") == "<name>"
