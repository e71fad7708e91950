"""A message about the kit as typed tokens, by the words of `[kit]` in the language files; English always counts."""

import re
import tomllib
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from functools import cache
from importlib.resources import files

from core.units import Unit

MOST_LETTERS = 1000  # read of a message
BOTH = "en"


class Word(StrEnum):
    """What a token means. The names are the keys of `[kit]`."""

    HAVE = "have"
    MORE = "more"
    LOST = "lost"
    WITHOUT = "without"
    ONLY = "only"
    TODAY = "today"
    PLATE = "plate"
    PLATES = "plates"
    KETTLEBELL = "kettlebell"
    KETTLEBELLS = "kettlebells"
    VEST = "vest"
    VESTS = "vests"
    BAND = "band"
    CHAIN = "chain"
    BAR = "bar"
    HANG = "hang"
    TOP = "top"
    RATED = "rated"
    JOIN = "join"
    TIMES = "times"
    KG = "kg"
    LB = "lb"
    FILLER = "filler"
    COUNT = "numbers"  # a number in words, which counts pieces
    NUMBER = "number"
    BREAK = "break"  # between two statements
    COLON = "colon"
    SLASH = "slash"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Token:
    """`value` of a number or number word; `unit` where one follows the number."""

    word: Word
    text: str
    value: Decimal = Decimal(0)
    unit: Unit | None = None


PIECE = re.compile(r"\d+(?:[.,]\d+)*|[^\W\d_]+|[×*]|[,;:.!?\n+/&#]")
SYMBOLS = {
    ":": Word.COLON,
    "/": Word.SLASH,
    "×": Word.TIMES,
    "*": Word.TIMES,
    "&": Word.JOIN,
    "#": Word.LB,
    "+": Word.JOIN,
}
UNITS = {Word.KG: Unit.KG, Word.LB: Unit.LB}


def tokens(text: str, language: str) -> tuple[Token, ...]:
    """The tokens of a message, numbers with their unit. Of an endless message the beginning is read."""
    plain = unicodedata.normalize("NFKC", text[:MOST_LETTERS])
    plain = "".join("" if unicodedata.category(letter) == "Cf" else letter for letter in plain)
    decimal_comma = language != BOTH
    found: list[Token] = []
    for match in PIECE.finditer(plain):
        for token in _tokens_of(match.group(), vocabulary(language), decimal_comma):
            if token.word in UNITS and found and found[-1].word is Word.NUMBER and found[-1].unit is None:
                last = found.pop()
                token = Token(Word.NUMBER, last.text, last.value, UNITS[token.word])
            found.append(token)
    return tuple(found)


def _tokens_of(piece: str, words: Mapping[str, Token], decimal_comma: bool) -> Iterator[Token]:
    if piece[0].isdecimal():
        yield from _numbers(piece, decimal_comma)
    elif piece in SYMBOLS:
        yield Token(SYMBOLS[piece], piece)
    elif not piece[0].isalpha():
        yield Token(Word.BREAK, piece)
    else:
        known = words.get(folded(piece))
        yield Token(Word.OTHER, piece) if known is None else Token(known.word, piece, known.value)


def _numbers(piece: str, decimal_comma: bool) -> Iterator[Token]:
    """`1.25`, `1,25`; `5,10,20` and, where the comma is no decimal mark, `5,10` are lists."""
    parts = piece.split(",")
    tail = parts[-1]
    if len(parts) == 2 and "." not in piece and (decimal_comma or tail in ("5", "25", "75")):
        parts = [piece.replace(",", ".")]
    for place, part in enumerate(parts):
        if place:
            yield Token(Word.BREAK, ",")
        number = part if part.count(".") < 2 else part.replace(".", "")
        yield Token(Word.NUMBER, part, Decimal(number))


def folded(word: str) -> str:
    """Without letter case and accents."""
    apart = unicodedata.normalize("NFD", word.casefold())
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


@cache
def vocabulary(language: str) -> Mapping[str, Token]:
    """Every word of a language and of English by its folded form; the language's own meaning leads."""
    words: dict[str, Token] = {}
    for name in (BOTH, language):
        table = tomllib.loads(files("core.language").joinpath(f"{name}.toml").read_text(encoding="utf-8")).get(
            "kit", {}
        )
        for key, entries in table.items():
            for entry in entries:
                value = Decimal(entries[entry]) if isinstance(entries, dict) else Decimal(0)
                words[folded(entry)] = Token(Word(key), entry, value)
    return words
