"""The words of replies: `[understand]` and `[[examples]]` of each language's TOML file, as tables.

`[understand]` maps a meaning to phrases; tables below it map a value (a body part, an exercise) to phrases.
Number words come from num2words; the file adds what people say besides (`zwo`, `septante`).
"""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from core.language import LANGUAGES

TABLES = ("exercise", "place", "side")


@dataclass(frozen=True, slots=True)
class Meaning:
    """What a phrase may mean: a kind of word, with a value where the kind has several."""

    kind: str
    value: Any = None


@dataclass(frozen=True, slots=True)
class Example:
    """A reply as one may type it, in a context, with the sets it records."""

    text: str
    sets: tuple[Mapping[str, Any], ...]
    context: Mapping[str, Any]


@cache
def _file(language: str) -> Mapping[str, Any]:
    text = files(__package__).joinpath(f"{language}.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


def phrases(language: str) -> Iterator[tuple[str, Meaning]]:
    """Every phrase of a language with its meaning, in the order of the file; number words not included."""
    words: Mapping[str, Any] = _file(language).get("understand", {})
    for kind, listed in words.items():
        if isinstance(listed, list):
            yield from ((phrase, Meaning(kind)) for phrase in listed)
    for kind in TABLES:
        for value, listed in words.get(kind, {}).items():
            yield from ((phrase, Meaning(kind, value)) for phrase in listed)
    for kind, names in words.get("calendar", {}).items():
        for at, listed in enumerate(names):
            yield from ((phrase, Meaning(kind.removesuffix("s"), at)) for phrase in listed)


def extra_numbers(language: str) -> Mapping[str, int]:
    """Number words that no library knows, whole: `septante` is 70."""
    return dict(_file(language).get("understand", {}).get("numbers", {}).get("also", {}))


def extra_ordinals(language: str) -> Mapping[str, int]:
    """Ordinals and their inflections that no library knows."""
    return dict(_file(language).get("understand", {}).get("numbers", {}).get("ordinals", {}))


def no_numbers(language: str) -> frozenset[str]:
    """Number words that mean something else more often: the article `un`."""
    return frozenset(_file(language).get("understand", {}).get("numbers", {}).get("never", ()))


def spelling(language: str) -> Mapping[str, Any]:
    """How a set is typed in this language: `[understand.typed]`."""
    return dict(_file(language).get("understand", {}).get("typed", {}))


@cache
def examples(language: str) -> tuple[Example, ...]:
    """The examples of a language, each of which a test reads."""
    listed = _file(language if language in LANGUAGES else "en").get("examples", [])
    return tuple(Example(one["text"], tuple(one["sets"]), one.get("context", {})) for one in listed)
