"""The word files' other tables: requests, answers, alarms, the coach's verbs. Read once, lower case, no accents."""

import re
import unicodedata
from functools import cache

from core.language import LANGUAGES, REFERENCE, word_file

NO_WORD = re.compile(r"(?<!\d)[.:-]|[.:-](?!\d)|[^\w.:-]|_")


def spoken(language: str | None) -> str:
    """The nearest language we speak: "de-AT" -> "de", anything else -> English."""
    root = (language or REFERENCE).replace("_", "-").split("-")[0].casefold()
    return root if root in LANGUAGES else REFERENCE


def plain(text: str) -> str:
    """For comparing words: case folded, accents and punctuation gone (but within numbers), one space between words.

    >>> plain("What's  NEXT?")
    'whats next'
    >>> plain("Pop. At 7.5, until 2026-11-03.")
    'pop at 7.5 until 2026-11-03'
    """
    apart = unicodedata.normalize("NFKD", text.casefold().replace("'", "").replace("’", ""))
    bare = "".join(c for c in apart if not unicodedata.combining(c))
    return " ".join(NO_WORD.sub(" ", bare).split())


@cache
def phrases(language: str, table: str) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The entries of a table of phrase lists, in file order; English words are understood in every language."""
    merged: dict[str, tuple[str, ...]] = {}
    for name in dict.fromkeys((spoken(language), REFERENCE)):
        for key, listed in word_file(name).get(table, {}).items():
            merged[key] = merged.get(key, ()) + tuple(plain(one) for one in listed)
    return tuple(merged.items())


def exactly(text: str, language: str, table: str) -> str | None:
    """The key of `table` that has the whole text as one of its phrases."""
    said = plain(text)
    return next((key for key, listed in phrases(language, table) if said in listed), None)
