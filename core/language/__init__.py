"""Phrases become sentences here, and only here; the words are in the TOML file of each language.

`[say]` holds the sentences under dotted keys. `{name}` is filled with the value of that name; a table of
plural forms (`one`, `other`, …) is chosen by the value named `n`, by the language's own rules (CLDR).
"""

import tomllib
from collections.abc import Mapping
from datetime import date, datetime, time
from functools import cache
from importlib.resources import files
from string import Formatter
from typing import TYPE_CHECKING, Any

from core.phrases import Mass, Phrase, Value
from core.units import Unit, amount

if TYPE_CHECKING:
    from babel import Locale

REFERENCE = "en"


def _there() -> tuple[str, ...]:
    """A language is a file here: English first, then the others by their code."""
    names = (entry.name for entry in files(__package__).iterdir())
    others = sorted(name.removesuffix(".toml") for name in names if name.endswith(".toml"))
    return (REFERENCE, *(name for name in others if name != REFERENCE))


LANGUAGES = _there()
PLURAL_FORMS = frozenset(("zero", "one", "two", "few", "many", "other"))

Sentence = str | Mapping[str, str]


class MissingPhrase(KeyError):
    """No language has this key: a slip of ours that the tests find."""


def render(phrase: Phrase, language: str, unit: Unit) -> str:
    """The phrase in words. A key the language lacks is said in English, and a test names it.

    Raises MissingPhrase where English lacks it too, KeyError where a value for a placeholder is missing.
    """
    spoken = language if phrase.key in sentences(language) else REFERENCE
    sentence = sentences(spoken).get(phrase.key)
    if sentence is None:
        raise MissingPhrase(phrase.key)
    values = dict(phrase.values)
    text = sentence if isinstance(sentence, str) else _plural(sentence, values["n"], spoken)
    return text.format_map({name: _shown(value, spoken, unit) for name, value in values.items()})


@cache
def word_file(language: str) -> dict[str, Any]:
    """The whole TOML of one of LANGUAGES, read once."""
    return tomllib.loads(files(__package__).joinpath(f"{language}.toml").read_text(encoding="utf-8"))


@cache
def sentences(language: str) -> Mapping[str, Sentence]:
    """The `[say]` table of a language, keys joined by dots."""
    return dict(_flat(word_file(language).get("say", {}), ""))


def _flat(table: Mapping[str, Any], prefix: str) -> list[tuple[str, Sentence]]:
    found: list[tuple[str, Sentence]] = []
    for key, value in table.items():
        if isinstance(value, dict) and not (value.keys() <= PLURAL_FORMS and "other" in value):
            found += _flat(value, f"{prefix}{key}.")
        else:
            found.append((f"{prefix}{key}", value))
    return found


def placeholders(sentence: Sentence) -> frozenset[str]:
    """The names a sentence wants filled, in any of its plural forms (`n` where it has plural forms)."""
    forms = (sentence,) if isinstance(sentence, str) else tuple(sentence.values())
    named = {name for form in forms for _, name, _, _ in Formatter().parse(form) if name}
    return frozenset(named | (set() if isinstance(sentence, str) else {"n"}))


@cache
def _locale(language: str) -> "Locale":
    from babel import Locale

    return Locale(language)


def _plural(forms: Mapping[str, str], count: Value, language: str) -> str:
    if not isinstance(count, int | float):
        raise TypeError("a plural is chosen by a number named n")
    return forms.get(_locale(language).plural_form(count), forms["other"])


def _shown(value: Value, language: str, unit: Unit) -> str:
    match value:
        case Phrase():
            return render(value, language, unit)
        case Mass():
            return f"{_number(amount(value.mass_g, unit), language)} {unit.value}"
        case str():
            return value
        case tuple():
            return _joined([_shown(one, language, unit) for one in value])
        case datetime() | date() | time():
            return _time(value, language)
        case _:
            return _number(value, language)


def _number(value: Any, language: str) -> str:
    from babel.numbers import format_decimal

    return str(format_decimal(value, format="#,##0.###", locale=_locale(language)))


def _joined(parts: list[str]) -> str:
    return ", ".join(part.strip() for part in parts if part.strip())


def _time(value: date | time, language: str) -> str:
    from babel.dates import format_date, format_time

    if isinstance(value, datetime):
        return f"{_time(value.date(), language)}, {_time(value.time(), language)}"
    if isinstance(value, date):
        pattern = sentences(language).get("pattern.day", sentences(REFERENCE)["pattern.day"])
        return str(format_date(value, format=str(pattern), locale=_locale(language)))
    return str(format_time(value, format="short", locale=_locale(language)))
