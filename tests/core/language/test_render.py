"""Phrases in words: placeholders, plurals, units, days."""

from datetime import date, time

import pytest

from core.language import MissingPhrase, _shown, placeholders, render
from core.phrases import Mass, Phrase, phrase
from core.units import Unit


@pytest.mark.parametrize(
    ("said", "unit", "text"),
    [
        (phrase("reason.deload", n=1), Unit.KG, "After 1 week of work this one is lighter"),
        (phrase("reason.deload", n=6), Unit.KG, "After 6 weeks of work this one is lighter"),
        (phrase("reason.mass_assumed", mass=Mass(72_500)), Unit.KG, "72.5 kg"),
        (phrase("reason.mass_assumed", mass=Mass(20_412)), Unit.LB, "45 lb"),
        (phrase("reason.order_hold", by=phrase("by.coach")), Unit.KG, "The load is held, as your coach decided."),
        (phrase("reason.away_until", until=date(2026, 10, 5)), Unit.KG, "Monday 5 October"),
        (phrase("reason.order_note", by="B", text="{n} of {x}"), Unit.KG, "Note (B): {n} of {x}"),
        (phrase("reason.order_note", by=("a", "b", "c"), text=time(7, 5)), Unit.KG, "Note (a, b, c): 7:05"),
        (phrase("reason.order_note", by=1234.5, text=0), Unit.KG, "Note (1,234.5): 0"),
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


def test_placeholders_are_those_of_all_forms() -> None:
    assert placeholders("{reps} of {asked}") == {"reps", "asked"}
    assert placeholders({"one": "a", "other": "{x}"}) == {"x", "n"}
