"""Number words of each language as phrases: cardinals to 200, with halves, and ordinals to 20."""

from collections.abc import Iterator
from decimal import Decimal

from core.language.understand import Meaning, extra_numbers, extra_ordinals, no_numbers

_LARGEST = 200
_LAST_ORDINAL = 20
_GERMAN_STYLE_HALF = "einhalb"  # written as one word with its number in German: zweieinhalb


def number_words(language: str) -> Iterator[tuple[str, Meaning]]:
    """Phrases with kind "number" (a Decimal) or "ordinal" (an int)."""
    from num2words import num2words

    never = no_numbers(language)
    for number in range(_LARGEST + 1):
        word = num2words(number, lang=language)
        if word not in never:
            yield word, Meaning("number", Decimal(number))
            yield from _joined_forms(word, number, language)
    for word, number in extra_numbers(language).items():
        yield word, Meaning("number", Decimal(number))
    for number in range(1, _LAST_ORDINAL + 1):
        for word in _inflected(str(num2words(number, lang=language, to="ordinal")), language):
            yield word, Meaning("ordinal", number)
    for word, number in extra_ordinals(language).items():
        yield word, Meaning("ordinal", number)


def _joined_forms(word: str, number: int, language: str) -> Iterator[tuple[str, Meaning]]:
    if language != "de":
        return
    if number != 1:
        for half in (word + _GERMAN_STYLE_HALF, f"{word} {_GERMAN_STYLE_HALF}"):
            yield half, Meaning("number", Decimal(number) + Decimal("0.5"))
            yield half, Meaning("halved")
    for ending in ("er", "ern"):
        yield word + ending, Meaning("number", Decimal(number))


def _inflected(word: str, language: str) -> Iterator[str]:
    yield word
    if language == "de":
        yield from (word + ending for ending in "rnsm")
    elif language == "es" and word.endswith("o"):
        yield from (word[:-1] + ending for ending in ("a", "os", "as"))
    elif language == "fr":
        yield word + "s"
