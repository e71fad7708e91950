"""Sore places in the reader's language: the reader names them in English ("lower back")."""

from core.language import REFERENCE, sentences
from core.phrases import Phrase, phrase


def place(named: str) -> Phrase | str:
    """The phrase of a place; one without words of its own is said as it is named."""
    key = f"place.{named.strip().casefold().replace(' ', '_')}"
    return phrase(key) if key in sentences(REFERENCE) else named
