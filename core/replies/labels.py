"""An athlete's own labels for bands: any words, inflected, misspelt, with digits, or of several words."""

from collections.abc import Sequence
from dataclasses import dataclass

from core.replies.lexicon import folded_words
from core.replies.tokens import Token

_ENDINGS = frozenset(
    [
        "e",
        "es",
        "er",
        "en",
        "em",
        "s",
        "a",
        "as",
        "os",
        "o",
        "ne",
        "nes",
        "ner",
        "nen",
        "te",
        "che",
        "ches",
        "n",
        "ns",
        "nem",
    ]
) | {""}
_SHORTEST_MISSPELT = 4
_ARTICLE = 3  # letters at most of an article that a label may be said without


@dataclass(frozen=True, slots=True)
class Label:
    """A label as the context spells it and as folded words, with and without its article."""

    spelt: str
    words: tuple[str, ...]


def labels(bands: Sequence[str]) -> tuple[Label, ...]:
    """The labels to look for, the longest first."""
    found = [Label(band, folded_words(band)) for band in bands]
    found += [Label(one.spelt, one.words[1:]) for one in found if len(one.words) > 2 and len(one.words[0]) <= _ARTICLE]
    return tuple(sorted((one for one in found if one.words), key=lambda one: -len(one.words)))


def label_spans(tokens: Sequence[Token], known: Sequence[Label]) -> dict[int, tuple[int, Label]]:
    """Where labels of several words, or with digits, stand: start -> (tokens taken, label)."""
    found: dict[int, tuple[int, Label]] = {}
    for label in known:
        if (len(label.words) == 1 and label.words[0].isalpha()) or (label.words[0].isdigit() and len(label.words) == 1):
            continue
        for at in range(len(tokens)):
            if at not in found and _stands(tokens, at, label.words):
                found[at] = (len(label.words), label)
    return found


def _stands(tokens: Sequence[Token], at: int, words: tuple[str, ...]) -> bool:
    if at + len(words) > len(tokens):
        return False
    return all(tokens[at + n].text == word for n, word in enumerate(words))


def meant(word: str, known: Sequence[Label], misspelt: bool) -> Label | None:
    """The one label of a single word that `word` is: itself, an inflection, or (if allowed) a clear misspelling."""
    single = [label for label in known if len(label.words) == 1 and label.words[0].isalpha()]
    for label in single:
        if word == label.words[0]:
            return label
    for near in (_inflects, _misspells) if misspelt else (_inflects,):
        close = [label for label in single if near(word, label.words[0])]
        if close:
            return close[0] if len(close) == 1 else None
    return None


def _inflects(word: str, label: str) -> bool:
    """The same stem with another ending: rot-es, roj-o, verde-s, blanc-he; umlauts written as two letters."""
    for plain, umlaut in (("ue", "u"), ("oe", "o"), ("ae", "a")):
        if plain in word and plain not in label and _inflects(word.replace(plain, umlaut), label):
            return True
    if word.startswith(label) and word[len(label) :] in _ENDINGS:
        return True
    stem = label[:-1] if label[-1] in "aoe" and len(label) > 3 else label
    if not word.startswith(stem):
        stem = label[:-2] + label[-1] if label.endswith("el") else stem
    if label.endswith("c") and word in (label + "he", label + "hes"):
        return True
    return word.startswith(stem) and word[len(stem) :] in _ENDINGS


def _misspells(word: str, label: str) -> bool:
    if min(len(word), len(label)) < _SHORTEST_MISSPELT or abs(len(word) - len(label)) > 2:
        return False
    stems = {word, *(word.removesuffix(end) for end in _ENDINGS if end and len(word) - len(end) >= _SHORTEST_MISSPELT)}
    return any(_one_slip(form, label) for form in stems)


def _one_slip(word: str, label: str) -> bool:
    """One letter missing, one too many, one wrong (in five or more), or two neighbours swapped."""
    if abs(len(word) - len(label)) == 1:
        longer, shorter = (word, label) if len(word) > len(label) else (label, word)
        return any(longer[:at] + longer[at + 1 :] == shorter for at in range(len(longer)))
    if len(word) != len(label):
        return False
    differing = [at for at in range(len(word)) if word[at] != label[at]]
    if len(differing) == 1:
        return len(label) >= 5 and differing[0] > 0
    swapped = len(differing) == 2 and differing[1] == differing[0] + 1
    return swapped and word[differing[0]] == label[differing[1]] and word[differing[1]] == label[differing[0]]
