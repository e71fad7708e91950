"""Phrases of all languages in one look-up, ordered by which language the message seems to be in.

Every language may appear in every message; where two languages use one phrase differently, the message's
own language decides. Misspellings are found by one missing, doubled, swapped or (in long words) wrong letter.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import cache

from core.language import LANGUAGES
from core.language.understand import Meaning, phrases
from core.replies.normalise import fold
from core.replies.numberwords import number_words
from core.replies.tokens import Kind, Token, tokenise

Meanings = dict[str, object]

_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue"})
_MENDED = ("place", "hurt", "number", "with", "kg", "lb", "weigh", "exercise", "yesterday", "tomorrow")
_SHORTEST_MENDED, _SHORTEST_WRONG_LETTER, _LONGEST_MENDED = 4, 7, 14
_CONTEXT_VOTE = 1.6


@dataclass(frozen=True, slots=True)
class Lexicon:
    """`heads`: first word -> phrases that start with it, longest first, with their meanings."""

    heads: dict[str, list[tuple[tuple[str, ...], Meanings]]]
    swapped: dict[str, str] = field(default_factory=dict)
    mended: dict[str, str] = field(default_factory=dict)

    def longest(self, tokens: Sequence[Token], at: int) -> tuple[int, Meanings] | None:
        """How many tokens the longest phrase from `at` takes, and what it means."""
        for words, meanings in self.heads.get(tokens[at].text, ()):
            if all(at + n < len(tokens) and tokens[at + n].text == word for n, word in enumerate(words)):
                return len(words), meanings
        return None

    def mend(self, word: str) -> str | None:
        """The one known word of which `word` is a clear misspelling."""
        if word in self.swapped:
            return self.swapped[word]
        if not _SHORTEST_MENDED <= len(word) <= _LONGEST_MENDED:
            return None
        found = {self.mended[form] for form in _forms(word) if form in self.mended}
        close = {known for known in found if _close(word, known)}
        return close.pop() if len(close) == 1 else None


def _forms(word: str) -> Iterable[str]:
    yield word
    yield from (word[:at] + word[at + 1 :] for at in range(len(word)))


def _close(word: str, known: str) -> bool:
    """One letter missing, one too many, two neighbours swapped; one wrong in a long word."""
    if abs(len(word) - len(known)) > 1 or (word[0] != known[0] and len(known) < _SHORTEST_WRONG_LETTER):
        return False
    if len(word) != len(known):
        longer, shorter = (word, known) if len(word) > len(known) else (known, word)
        return shorter in [longer[:at] + longer[at + 1 :] for at in range(len(longer))]
    differing = [at for at in range(len(word)) if word[at] != known[at]]
    if len(differing) == 1:
        return len(known) >= _SHORTEST_WRONG_LETTER
    swapped = len(differing) == 2 and differing[1] == differing[0] + 1
    return swapped and word[differing[0]] == known[differing[1]] and word[differing[1]] == known[differing[0]]


@cache
def lexicon(primary: str) -> Lexicon:
    """The look-up for a message in language `primary`."""
    heads: defaultdict[str, list[tuple[tuple[str, ...], Meanings]]] = defaultdict(list)
    for words, meanings in _merged(primary).items():
        heads[words[0]].append((words, meanings))
    for listed in heads.values():
        listed.sort(key=lambda entry: -len(entry[0]))
    return _with_misspellings(dict(heads))


def _merged(primary: str) -> dict[tuple[str, ...], Meanings]:
    merged: dict[tuple[str, ...], Meanings] = {}
    others = [one for one in LANGUAGES if one not in (primary, "en")]
    for language in (primary, *(("en",) if primary != "en" else ()), *others):
        for words, meanings in _own(language).items():
            merged.setdefault(words, meanings)
    return merged


@cache
def _own(language: str) -> dict[tuple[str, ...], Meanings]:
    own: defaultdict[tuple[str, ...], Meanings] = defaultdict(dict)
    for phrase, meaning in (*phrases(language), *number_words(language)):
        for words in _spellings(phrase):
            _add(own[words], meaning)
    return dict(own)


def _add(meanings: Meanings, meaning: Meaning) -> None:
    meanings.setdefault(meaning.kind, meaning.value)


@cache
def _spellings(phrase: str) -> tuple[tuple[str, ...], ...]:
    forms = {phrase, phrase.translate(_UMLAUTS), phrase.replace("'", "")}
    found = {tuple(token.text for token in tokenise(form)) for form in forms}
    return tuple(words for words in found if words)


def _with_misspellings(heads: dict[str, list[tuple[tuple[str, ...], Meanings]]]) -> Lexicon:
    swapped: dict[str, str] = {}
    mended: dict[str, str] = {}
    for word, listed in heads.items():
        kinds = {kind for words, meanings in listed if len(words) == 1 for kind in meanings}
        if not kinds & set(_MENDED) or not word.isalpha():
            continue
        if len(word) >= 3:
            swapped |= {form: word for form in _swaps(word) if form not in heads}
        if len(word) > _SHORTEST_MENDED and kinds - {"with", "number"}:
            mended |= {form: word for form in _forms(word) if form not in mended}
    return Lexicon(heads, swapped, mended)


def _swaps(word: str) -> Iterable[str]:
    for at in range(1 if len(word) > 3 else 0, len(word) - 1):
        form = word[:at] + word[at + 1] + word[at] + word[at + 2 :]
        if form != word:
            yield form


@cache
def _vocabulary(language: str) -> frozenset[str]:
    return frozenset(word for words in _own(language) for word in words if word.isalpha())


@cache
def _accented(language: str) -> frozenset[str]:
    """The words of a language that are written with an accent, as they are written."""
    words = (word for phrase, _ in phrases(language) for word in phrase.lower().replace("'", " ").split())
    return frozenset(word for word in words if not word.isascii())


def language_of(tokens: Sequence[Token], said: str | None) -> str:
    """The language that most words of the message belong to; the context's language counts for a word and a half."""
    votes = dict.fromkeys(LANGUAGES, 0.0)
    for token in tokens:
        if token.kind is Kind.WORD:
            knowing = [language for language in LANGUAGES if token.text in _vocabulary(language)]
            for language in knowing:
                votes[language] += 1 / len(knowing)
            if not token.raw.isascii():
                for language in (one for one in LANGUAGES if token.raw.lower() in _accented(one)):
                    votes[language] += 1
    if said in votes:
        votes[said] += _CONTEXT_VOTE
    return max(LANGUAGES, key=lambda language: votes[language])


def folded_words(phrase: str) -> tuple[str, ...]:
    """The folded tokens of a label or phrase."""
    return tuple(token.text for token in tokenise(phrase))


__all__ = ["Lexicon", "Meanings", "fold", "folded_words", "language_of", "lexicon"]
