"""Tokens into terms: words with their meanings, numbers in figures or words, marks. No context but the labels."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from core.replies.labels import Label, label_spans, meant
from core.replies.lexicon import Lexicon
from core.replies.tokens import Kind, Token

_TICKS = frozenset("✅✔☑✓👍👌🆗")
_ORDINAL_ENDINGS = frozenset(["st", "nd", "rd", "th", "ª", "º", "a", "er", "re", "ere", "eme", "e", "ieme"])
_FIGURE_STYLE = "er"  # German: a 5er


@dataclass(frozen=True, slots=True)
class Term:
    """A word, number or mark. `meanings`: kind -> value; `number` where it is one; `cap`: starts with a capital."""

    text: str
    raw: str
    gap: bool
    meanings: dict[str, Any] = field(default_factory=dict)
    number: Decimal | None = None
    pair: tuple[int, int] | None = None
    figures: bool = False
    half: bool = False
    mark: bool = False
    cap: bool = False

    def has(self, *kinds: str) -> bool:
        return any(kind in self.meanings for kind in kinds)

    @property
    def decimal(self) -> bool:
        """A number with a decimal mark, surely."""
        return self.number is not None and self.pair is None and not self.half and "." in str(self.number)

    @property
    def unknown(self) -> bool:
        return not self.mark and self.number is None and not self.meanings


def terms(tokens: Sequence[Token], words: Lexicon, known: Sequence[Label] = ()) -> list[Term]:
    """One term for each number, mark, label, longest known phrase or unknown word."""
    spans = label_spans(tokens, known)
    found: list[Term] = []
    at = 0
    while at < len(tokens):
        if at in spans:
            taken, label = spans[at]
            raw = " ".join(one.raw for one in tokens[at : at + taken])
            found.append(Term(tokens[at].text, raw, tokens[at].gap, {"label": label, "whole_label": None}))
        else:
            until = next((start for start in spans if start > at), len(tokens)) if spans else len(tokens)
            term, taken = _term(tokens[:until] if spans else tokens, at, words)
            found.append(_labelled(term, known) if known and taken == 1 else term)
        at += taken
    return _spoken_decimals(found)


def _labelled(term: Term, known: Sequence[Label]) -> Term:
    if term.mark or term.figures or not term.text.isalpha():
        return term
    label = meant(term.text, known, misspelt=term.unknown)
    return term if label is None else replace(term, meanings=term.meanings | {"label": label})


def _term(tokens: Sequence[Token], at: int, words: Lexicon) -> tuple[Term, int]:
    token = tokens[at]
    if token.kind is Kind.NUMBER:
        return _figure(tokens, at)
    if token.kind is Kind.LONG:
        return Term(token.text, token.raw, token.gap, {"long": None}), 1
    if token.kind is Kind.EMOJI:
        meanings: dict[str, Any] = {"tick": None} if token.raw in _TICKS else {"emoji": None}
        return Term(token.text, token.raw, token.gap, meanings, mark=True), 1
    known = words.longest(tokens, at)
    if known is None and token.kind is Kind.WORD:
        return _unknown(token, words), 1
    if known is None:
        return Term(token.text, token.raw, token.gap, mark=True), 1
    taken, meanings = known
    raw = " ".join(one.raw for one in tokens[at : at + taken])
    return _known(token, raw, dict(meanings)), taken


def _known(token: Token, raw: str, meanings: dict[str, Any]) -> Term:
    number = meanings.get("number")
    mark = token.kind is Kind.MARK and len(raw) == 1
    half = "halved" in meanings
    return Term(token.text, raw, token.gap, meanings, number, half=half, mark=mark, cap=raw[:1].isupper())


def _unknown(token: Token, words: Lexicon) -> Term:
    meant = words.mend(token.text)
    if meant is not None:
        for phrase, meanings in words.heads[meant]:
            if len(phrase) == 1:
                return replace(_known(token, token.raw, dict(meanings)), text=meant)
    return Term(token.text, token.raw, token.gap, cap=token.raw[:1].isupper())


def _figure(tokens: Sequence[Token], at: int) -> tuple[Term, int]:
    """A number in figures, or an ordinal: `3rd`, `2e`, `1ª`, German `5er`."""
    token = tokens[at]
    plain = Term(token.text, token.raw, token.gap, {}, token.value, token.pair, figures=True)
    if at + 1 < len(tokens) and not tokens[at + 1].gap:
        ending = tokens[at + 1].text
        if ending == _FIGURE_STYLE and (token.pair is not None or token.decimal):
            return replace(plain, raw=token.raw + ending, pair=None, meanings={"counted": None}), 2
        if token.pair is not None or token.decimal:
            return plain, 1
        if ending == _FIGURE_STYLE:
            ordinal = {"ordinal": int(token.value)} if token.value == 1 else {}
            return replace(plain, raw=token.raw + ending, meanings={"counted": None} | ordinal), 2
        if ending in _ORDINAL_ENDINGS and _may_be_ordinal(int(token.value), ending):
            return Term(token.text, token.raw + ending, token.gap, {"ordinal": int(token.value)}), 2
    return plain, 1


def _may_be_ordinal(number: int, ending: str) -> bool:
    """`11st` is stone, `21st` is not; `1st` of ordinals is."""
    if ending == "st":
        return number % 10 == 1 and number != 11
    return True


def _spoken_decimals(found: list[Term]) -> list[Term]:
    """`seven point five` and `twelve and a half` become one number."""
    out: list[Term] = []
    at = 0
    while at < len(found):
        term = found[at]
        if term.number is not None and at + 2 < len(found) and found[at + 1].has("point") and _digit(found[at + 2]):
            out.append(_with_fraction(term, found[at + 2]))
            at += 3
        elif term.number is not None and _is_one_half(found, at + 1):
            out.append(replace(term, number=term.number + Decimal("0.5"), raw=f"{term.raw} 1/2", half=True))
            at += 4
        elif term.number is not None and at + 1 < len(found) and _is_half(found, at + 1):
            out.append(
                replace(term, number=term.number + Decimal("0.5"), raw=f"{term.raw} {found[at + 1].raw}", half=True)
            )
            at += 2
        else:
            out.append(term)
            at += 1
    return out


def _digit(term: Term) -> bool:
    return term.number is not None and term.number == term.number.to_integral_value() and term.number < 100


def _is_half(found: Sequence[Term], at: int) -> bool:
    before = found[at - 1].number
    return found[at].has("half") and before is not None and before == before.to_integral_value()


def _is_one_half(found: Sequence[Term], at: int) -> bool:
    """`1/2` in figures behind a whole number."""
    parts = found[at : at + 3]
    whole = found[at - 1]
    spelt = [part.text for part in parts] == ["1", "/", "2"] and parts[0].gap and not parts[1].gap and not parts[2].gap
    return spelt and whole.figures and whole.number == int(whole.number or 0)


def _with_fraction(whole: Term, part: Term) -> Term:
    assert whole.number is not None
    assert part.number is not None
    number = Decimal(f"{int(whole.number)}.{int(part.number)}")
    return replace(whole, number=number, raw=f"{whole.raw} . {part.raw}", pair=None)


def texts(found: Iterable[Term]) -> str:
    """The terms as typed, for the coach's note."""
    return " ".join(term.raw.strip() for term in found if term.raw.strip())
