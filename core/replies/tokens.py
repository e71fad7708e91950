"""Text into typed tokens: numbers, words, marks and emoji, each knowing whether a gap stands before it."""

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import Enum

from core.replies.normalise import fold, normalise

LONGEST_NUMBER = 9  # digits; more is no count and no load, and costs time


class Kind(Enum):
    """What a token is before any language looks at it."""

    NUMBER = "number"
    WORD = "word"
    MARK = "mark"
    EMOJI = "emoji"
    LONG = "long"


@dataclass(frozen=True, slots=True)
class Token:
    """`text` is folded, `raw` as typed; `value` for numbers; `pair` where a comma may also separate two numbers."""

    kind: Kind
    text: str
    raw: str
    gap: bool
    value: Decimal = Decimal(0)
    pair: tuple[int, int] | None = None

    @property
    def decimal(self) -> bool:
        """Typed with a decimal mark, and surely so."""
        return self.kind is Kind.NUMBER and self.pair is None and "." in self.text


_PIECES = re.compile(
    r"(?P<power>\d+(?:[.,]\d+)?[eE]\+?\d+)"
    r"|(?P<number>(?<!\d)\.\d+|\d+(?:[.,']\d+)*)"
    r"|(?P<word>[^\W\d_]+)"
    r"|(?P<line>[ \t]*\n\s*)"
    r"|(?P<space>[^\S\n]+)"
    r"|(?P<other>.)",
    re.DOTALL,
)


def tokenise(text: str) -> list[Token]:
    """The tokens of `text`, in order. Never fails; linear in the length of the text."""
    found: list[Token] = []
    gap = True
    for piece in _PIECES.finditer(normalise(text)):
        raw = piece.group()
        match piece.lastgroup:
            case "space":
                gap = True
                continue
            case "line":
                found.append(Token(Kind.MARK, "\n", raw, gap=True))
                gap = True
                continue
            case "power":
                found.append(Token(Kind.LONG, "0", raw, gap))
            case "number":
                found += _numbers(raw, gap)
            case "word":
                found.append(Token(Kind.WORD, fold(raw), raw, gap))
            case _:
                found.append(Token(_kind(raw), raw, raw, gap))
        gap = False
    return _joined(found)


def _kind(char: str) -> Kind:
    return Kind.MARK if char.isascii() or not char.isprintable() or char in "°€£¡¿½" else Kind.EMOJI


def _numbers(raw: str, gap: bool) -> list[Token]:
    """One number, or several where commas or points can only separate them: `5,5,4`."""
    if sum(char.isdigit() for char in raw) > LONGEST_NUMBER and "," not in raw:
        return [Token(Kind.LONG, "0", raw, gap)]
    for mark in (",", "."):
        if raw.count(mark) > 1:
            return _listed(raw, mark, gap)
    if raw.startswith("."):
        raw = f"0{raw}"
    plain = raw.replace("'", ".")
    if "," in plain and "." in plain:
        return _listed(plain, ",", gap)
    if plain.count(".") > 1:
        return [Token(Kind.LONG, "0", raw, gap)]
    if "," in plain:
        whole, part = plain.split(",")
        pair = (int(whole), int(part)) if part[0] != "0" else None
        return [Token(Kind.NUMBER, f"{whole}.{part}", raw, gap, Decimal(f"{whole}.{part}"), pair)]
    return [Token(Kind.NUMBER, plain, raw, gap, Decimal(plain))]


def _listed(raw: str, mark: str, gap: bool) -> list[Token]:
    found: list[Token] = []
    for at, part in enumerate(raw.split(mark)):
        if at:
            found.append(Token(Kind.MARK, mark, mark, gap=False))
        found += _numbers(part, gap if at == 0 else False) if part else []
    return found


_SHORTENED = frozenset(["t", "ve", "re", "ll", "d", "m"])
_WITH_IS = frozenset(
    [
        "that",
        "it",
        "what",
        "how",
        "who",
        "where",
        "when",
        "he",
        "she",
        "let",
        "there",
        "here",
        "today",
        "tonight",
        "tomorrow",
        "yesterday",
    ]
)


def _joined(tokens: list[Token]) -> list[Token]:
    """Without the apostrophes and hyphens inside words: `can't` is cant, `elbow's` elbow, s, `chin-up` chin, up."""
    kept: list[Token] = []
    for at, token in enumerate(tokens):
        if token.text in ("'", "-") and 0 < at < len(tokens) - 1 and not token.gap and not tokens[at + 1].gap:
            before, after = tokens[at - 1].kind, tokens[at + 1].kind
            if Kind.WORD in (before, after) and {before, after} <= {Kind.WORD, Kind.NUMBER}:
                continue
        if at > 1 and tokens[at - 1].text == "'" and kept and _shortened(tokens[at - 2], tokens[at - 1], token):
            kept[-1] = replace(kept[-1], text=kept[-1].text + token.text, raw=f"{kept[-1].raw}'{token.raw}")
            continue
        kept.append(token)
    return kept


def _shortened(word: Token, mark: Token, rest: Token) -> bool:
    """English short forms: can't, I've, that's."""
    if word.kind is not Kind.WORD or rest.kind is not Kind.WORD or mark.gap or rest.gap:
        return False
    return rest.text in _SHORTENED or (rest.text == "s" and word.text in _WITH_IS)
