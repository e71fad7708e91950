"""Phrases in words: placeholders, plurals, units, and the law over all languages."""

from datetime import date, time

import pytest

from core.language import LANGUAGES, REFERENCE, MissingPhrase, _shown, placeholders, render, sentences
from core.phrases import Mass, Phrase, phrase
from core.units import Unit


@pytest.mark.parametrize(
    ("said", "unit", "text"),
    [
        (phrase("reason.deload", n=1), Unit.KG, "After 1 week of work this one is lighter"),
        (phrase("reason.deload", n=6), Unit.KG, "After 6 weeks of work this one is lighter"),
        (phrase("reason.mass_assumed", mass=Mass(72_500)), Unit.KG, "72.5 kg"),
        (phrase("reason.mass_assumed", mass=Mass(20_412)), Unit.LB, "45 lb"),
        (phrase("reason.order_hold", by=phrase("by.coach")), Unit.KG, "The load is held, as your coach wished."),
        (phrase("reason.away_until", until=date(2026, 10, 5)), Unit.KG, "Monday 5 October"),
        (phrase("reason.order_note", by="B", text="{n} of {x}"), Unit.KG, "B: {n} of {x}"),
        (phrase("reason.order_note", by=("a", "b", "c"), text=time(7, 5)), Unit.KG, "a, b, c: 7:05"),
        (phrase("reason.order_note", by=1234.5, text=0), Unit.KG, "1,234.5: 0"),
    ],
)  # fmt: skip
def test_english(said: Phrase, unit: Unit, text: str) -> None:
    assert text in render(said, "en", unit)


@pytest.mark.parametrize(
    ("language", "shown"), [("de", "Montag, 5. Oktober"), ("es", "lunes, 5 de octubre"), ("fr", "lundi 5 octobre")]
)
def test_days_in_the_readers_language(language: str, shown: str) -> None:
    assert _shown(date(2026, 10, 5), language, Unit.KG) == shown


def test_a_missing_key_is_no_silence() -> None:
    with pytest.raises(MissingPhrase):
        render(phrase("no.such"), "en", Unit.KG)
    with pytest.raises(KeyError):
        render(phrase("reason.mass_assumed"), "en", Unit.KG)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_key_has_the_placeholders_of_english(language: str) -> None:
    """A language may still lack keys (they are said in English), but never has keys or placeholders of its own."""
    reference = sentences(REFERENCE)
    for key, sentence in sentences(language).items():
        assert key in reference, key
        # "one" and the like may leave out the number; nothing may ask for a value that is not given
        assert placeholders(sentence) <= placeholders(reference[key]), key
        assert isinstance(sentence, str) == isinstance(reference[key], str) or "n" in placeholders(reference[key])


def test_the_placeholder_check_can_fail() -> None:
    assert not placeholders("{reps} of {asked}") <= placeholders("{reps}")
    assert placeholders({"one": "a", "other": "{x}"}) == {"x", "n"}
