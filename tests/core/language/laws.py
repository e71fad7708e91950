"""What holds for the sentences of every language: each law returns what breaks it, and is tested on broken tables."""

import re
from collections.abc import Iterator, Mapping
from datetime import date
from string import Formatter

from babel import Locale

from core.language import Sentence, placeholders
from core.phrases import Mass, Phrase, Value

Table = Mapping[str, Sentence]

SAMPLES: dict[str, Value] = {
    name: 7 for name in ("n", "of", "reps", "before", "asked", "percent", "score", "morning", "age", "minutes", "least")
} | {name: 9 for name in ("seconds", "done", "planned", "most", "goal", "first", "last", "times", "rpe")}  # fmt: skip
MASSES = ("mass", "limit", "step", "change", "one_rm", "low", "high", "hang", "top", "face", "bottom", "total")
DAYS = ("day", "until", "test")


def sample(name: str) -> Value:
    """A value such as the engine gives for this placeholder; a word for anything else."""
    if name in MASSES:
        return Mass(7500)
    return date(2026, 10, 5) if name in DAYS else SAMPLES.get(name, f"<{name}>")


def filled(key: str, sentence: Sentence, n: int = 7) -> Phrase:
    """The phrase with a sample for each of its placeholders."""
    return Phrase(key, tuple((name, n if name == "n" else sample(name)) for name in sorted(placeholders(sentence))))


def forms(sentence: Sentence) -> dict[str, str]:
    return {"": sentence} if isinstance(sentence, str) else dict(sentence)


def unlike(reference: Table, table: Table) -> Iterator[str]:
    """Keys too few or too many, placeholders too few or too many, a plural where the reference has none."""
    yield from (f"{key}: missing" for key in sorted(reference.keys() - table.keys()))
    yield from (f"{key}: unknown" for key in sorted(table.keys() - reference.keys()))
    for key in sorted(reference.keys() & table.keys()):
        if isinstance(reference[key], str) != isinstance(table[key], str):
            yield f"{key}: plural in one language only"
        if placeholders(reference[key]) != placeholders(table[key]):
            yield f"{key}: {sorted(placeholders(reference[key]) ^ placeholders(table[key]))}"


COUNTED = range(1_000)  # what `n` may be; beyond it stand the millions of "many"


def poor_plurals(language: str, table: Table) -> Iterator[str]:
    """A form that the language has not or lacks; a form for several numbers that does not name its number."""
    rule = Locale(language).plural_form
    wanted = set(rule.tags) | {"other"}
    for key, sentence in table.items():
        if isinstance(sentence, str):
            continue
        yield from (f"{key}: {form}" for form in sorted(wanted ^ sentence.keys()))
        for form, text in sentence.items():
            only = [n for n in COUNTED if rule(n) == form]
            if len(only) != 1 and "{n}" not in text and "{n}" in sentence["other"]:
                yield f"{key}: {form} hides its number"
            named = {name for _, name, _, _ in Formatter().parse(text) if name} | {"n"}
            if named != placeholders(sentence):
                yield f"{key}: {form} leaves out {sorted(placeholders(sentence) - named)}"


LEFT_OVER = re.compile(r"[{}]|\s\s|\bNone\b|\(\)|,,|\.\.(?!\.)")
SPACED = re.compile(r" [.,)…]|\( ")


def untidy(text: str) -> str | None:
    """What was not filled in, or a slip of the keyboard."""
    found = LEFT_OVER.search(text) or SPACED.search(text.replace(" …", ""))
    return None if found is None else repr(found.group())


QUOTES = {"en": "“”", "de": "„“", "es": "«»", "fr": "«»"}
ALL_QUOTES = "“”„«»\"'"
FRENCH = re.compile(r"(?<![\u00a0\d])[?!»:]|(?<!\u00a0)%|(?<![\u00a0\w]);|«(?!\u00a0)")


def badly_set(language: str, text: str) -> Iterator[str]:
    """Other quotes than the language's own, quotes left open; in French a mark without its no-break space."""
    opening, closing = QUOTES[language]
    foreign = set(ALL_QUOTES) - {opening, closing}
    yield from (f"{mark} in {text!r}" for mark in sorted(foreign & set(text)))
    if text.count(opening) != text.count(closing):
        yield f"an open quote in {text!r}"
    if language == "fr" and (found := FRENCH.search(text)):
        yield f"{found.group()} without its space in {text!r}"
    if language == "es" and (text.count("¿"), text.count("¡")) != (text.count("?"), text.count("!")):
        yield f"an unopened mark in {text!r}"
