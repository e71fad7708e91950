"""The statements of a message: pieces, chain, bar, bands, each with the mode it was said in."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from core.kit import Kind
from core.kit_messages.tokens import Token, Word, folded
from core.units import Unit


class Mode(StrEnum):
    """How a statement changes the kit."""

    HAVE = "have"  # this is the kit
    MORE = "more"  # this besides what there is
    LESS = "less"  # gone, or not here
    ONLY = "only"  # nothing else than this, of what there is


@dataclass(frozen=True, slots=True)
class Weight:
    """A mass with its unit, None for the kit's."""

    amount: Decimal
    unit: Unit | None


@dataclass(frozen=True, slots=True)
class PieceSaid:
    """`kind` None: unsaid, a plate unless the kit knows better. `weight` None: all of that kind."""

    mode: Mode
    kind: Kind | None
    weight: Weight | None
    count: Decimal | None = None


@dataclass(frozen=True, slots=True)
class ChainSaid:
    """Places on the chain and its rating; neither: the chain is not here."""

    mode: Mode
    places: Decimal | None = None
    rating: Weight | None = None


@dataclass(frozen=True, slots=True)
class BarSaid:
    """The bar's working limit."""

    mode: Mode
    limit: Weight


@dataclass(frozen=True, slots=True)
class BandSaid:
    """A band by its label, with two readings or one guess; `label` empty: all bands."""

    mode: Mode
    label: str
    hang: Weight | None = None
    top: Weight | None = None
    guess: Weight | None = None


Said = PieceSaid | ChainSaid | BarSaid | BandSaid

MODES = {
    Word.HAVE: Mode.HAVE,
    Word.MORE: Mode.MORE,
    Word.LOST: Mode.LESS,
    Word.WITHOUT: Mode.LESS,
    Word.ONLY: Mode.ONLY,
}
CLOSING = frozenset((Word.MORE, Word.LOST, Word.WITHOUT))
NOUNS = {
    Word.PLATE: Kind.PLATE,
    Word.PLATES: Kind.PLATE,
    Word.KETTLEBELL: Kind.KETTLEBELL,
    Word.KETTLEBELLS: Kind.KETTLEBELL,
    Word.VEST: Kind.VEST,
    Word.VESTS: Kind.VEST,
}
PLURALS = frozenset((Word.PLATES, Word.KETTLEBELLS, Word.VESTS))
ENDS = frozenset((Word.HANG, Word.TOP))


@dataclass(frozen=True, slots=True)
class Statements:
    """What was said, in order; `today` for today alone; `unread`: words and numbers that fitted nowhere."""

    said: tuple[Said, ...]
    today: bool
    unread: tuple[str, ...]


def statements(found: Sequence[Token], labels: Sequence[str]) -> Statements:
    """`labels`: the bands that the kit has already."""
    reader = _Reader(tuple(labels))
    for part in _parts(verbs_first(found)):
        reader.read(part)
    today = any(token.word is Word.TODAY for token in found) or _missing(found)
    return Statements(tuple(reader.said), today, tuple(reader.unread))


def _missing(found: Sequence[Token]) -> bool:
    """Whether it says only what is not here: without a day that means today."""
    modes = {token.word for token in found if token.word in MODES}
    return bool(modes) and modes <= {Word.WITHOUT, Word.ONLY}


def verbs_first(found: Sequence[Token]) -> list[Token]:
    """`ich habe die 5er verkauft`: a closing word says what its sentence does, and `habe` only helps it."""
    ends = [at for at, token in enumerate(found) if token.word is Word.BREAK and token.text in ".!?;\n"]
    starts = [0, *(end + 1 for end in ends)]
    whole: list[Token] = []
    for start, end in zip(starts, [*ends, len(found)], strict=True):
        whole += _verb_first(found[start:end])
        whole += found[end : end + 1]
    return whole


def _verb_first(sentence: Sequence[Token]) -> list[Token]:
    spoken = [at for at, token in enumerate(sentence) if token.word not in (Word.FILLER, Word.BREAK, Word.TODAY)]
    modes = [at for at in spoken if sentence[at].word in MODES]
    others = {sentence[at].word for at in modes[:-1]}
    if not modes or len(spoken) < 2 or modes[-1] != spoken[-1] or others - {Word.HAVE}:
        return list(sentence)
    verb = sentence[modes[-1]]
    if verb.word not in CLOSING:
        return list(sentence)
    return [verb, *(token for at, token in enumerate(sentence) if at not in modes)]


def _parts(found: Sequence[Token]) -> list[list[Token]]:
    """Cut at breaks, joining words and wherever the mode changes."""
    parts: list[list[Token]] = [[]]
    for token in found:
        if token.word in MODES:
            parts.append([token])
        elif token.word in (Word.BREAK, Word.JOIN):
            parts.append([])
        else:
            parts[-1].append(token)
    return _rejoined([part for part in parts if part])


def _rejoined(parts: Sequence[list[Token]]) -> list[list[Token]]:
    """`26 at the hang, 13 on top` is one part."""
    whole: list[list[Token]] = []
    for part in parts:
        words = {token.word for token in part}
        before = {token.word for token in whole[-1]} if whole else set()
        if words & ENDS and before & ENDS and not words & before & ENDS and not words & {Word.BAND, *MODES}:
            whole[-1] = [*whole[-1], *part]
        else:
            whole.append(part)
    return whole


def label_in(found: Sequence[Token], labels: Sequence[str]) -> str | None:
    """The longest of the labels that stands in these tokens."""
    text = folded(f" {' '.join(token.text for token in found)} ")
    known = [label for label in labels if f" {folded(label)} " in text]
    return max(known, key=len, default=None)


class _Reader:
    """Reads part after part, keeping the mode and a noun that stands ahead of its numbers."""

    def __init__(self, labels: tuple[str, ...]) -> None:
        self.labels = labels
        self.said: list[Said] = []
        self.unread: list[str] = []
        self.mode = Mode.HAVE
        self.noun: Kind | None = None
        self.last: Word | None = None

    def read(self, part: list[Token]) -> None:
        if part[0].word in MODES:
            self.mode, self.noun = MODES[part[0].word], None
            part = part[1:]
        part = [token for token in part if token.word not in (Word.FILLER, Word.TODAY)]
        words = {token.word for token in part}
        if not part:
            return
        if Word.BAND in words or words & ENDS or label_in(part, self.labels):
            self._band(part)
        elif Word.CHAIN in words or (Word.RATED in words and self.last is Word.CHAIN):
            self._chain(part)
        elif Word.BAR in words and Word.NUMBER in words:
            self._bar(part)
        else:
            self._piece(part)

    def _band(self, part: Sequence[Token]) -> None:
        label = label_in(part, self.labels) or _new_label(part)
        numbers = _weights(part)
        self.last = Word.BAND
        if not numbers:
            self.said.append(BandSaid(self.mode, label))
        elif len(numbers) == 1 and label:
            self.said.append(BandSaid(self.mode, label, guess=numbers[0]))
        elif len(numbers) == 2 and label:
            hang, top = numbers if _hang_first(part, numbers) else reversed(numbers)
            self.said.append(BandSaid(self.mode, label, hang, top))
        else:
            self._not_read(part)

    def _chain(self, part: Sequence[Token]) -> None:
        self.last = Word.CHAIN
        rated = any(token.word is Word.RATED for token in part)
        places, rating = None, None
        for token in part:
            if token.word is Word.NUMBER and (token.unit is not None or (rated and places is not None)):
                rating = Weight(token.value, token.unit)
            elif token.word in (Word.NUMBER, Word.COUNT):
                places = token.value
        self.said.append(ChainSaid(self.mode, places, rating))

    def _bar(self, part: Sequence[Token]) -> None:
        self.said.append(BarSaid(self.mode, _weights(part)[0]))

    def _piece(self, part: Sequence[Token]) -> None:
        nouns = [token.word for token in part if token.word in NOUNS]
        kind = NOUNS[nouns[0]] if nouns else self.noun
        amounts = [token for token in part if token.word in (Word.NUMBER, Word.COUNT, Word.TIMES)]
        numbers = [token for token in amounts if token.word is Word.NUMBER]
        self.last = None
        if nouns and part[0].word in NOUNS and nouns[0] in PLURALS:
            self.noun = kind
        if len(numbers) > 2 or (not numbers and not nouns):
            self._not_read(part)
        elif not numbers:
            self.said.append(PieceSaid(self.mode, kind, None))
        else:
            self._counted(kind, amounts, numbers)
            if nouns and nouns[0] in PLURALS and part[0].word not in NOUNS:
                self._carry_back(NOUNS[nouns[0]])

    def _counted(self, kind: Kind | None, amounts: Sequence[Token], numbers: Sequence[Token]) -> None:
        """`2 x 1.25`, `two 5s`, `an 8 bell`, `20`: the last number is the mass, one before it the count."""
        counts = [token.value for token in amounts if token.word is Word.COUNT]
        if len(numbers) == 2:
            counts = [numbers[0].value]
        weight = Weight(numbers[-1].value, numbers[-1].unit)
        self.said.append(PieceSaid(self.mode, kind, weight, counts[-1] if counts else None))

    def _carry_back(self, kind: Kind) -> None:
        """`8, 12 and 16 bells`: bare numbers right before a plural are of its kind."""
        for place in range(len(self.said) - 2, -1, -1):
            said = self.said[place]
            if not (isinstance(said, PieceSaid) and said.kind is None and said.count is None and said.weight):
                return
            self.said[place] = replace(said, kind=kind)

    def _not_read(self, part: Sequence[Token]) -> None:
        words = [token.text for token in part]
        if any(token.word in (Word.NUMBER, *NOUNS) for token in part):
            self.unread.append(" ".join(words))


def _weights(part: Sequence[Token]) -> list[Weight]:
    """The numbers; one unit said holds for those before it that have none."""
    numbers = [token for token in part if token.word is Word.NUMBER]
    units = {token.unit for token in numbers if token.unit is not None}
    one_unit = next(iter(units)) if len(units) == 1 else None
    return [Weight(token.value, one_unit if token.unit is None else token.unit) for token in numbers]


def _hang_first(part: Sequence[Token], numbers: Sequence[Weight]) -> bool:
    """Whether the first of two readings is the one at the hang: by the words, else the larger."""
    ends = [token.word for token in part if token.word in ENDS]
    if ends:
        return ends[0] is Word.HANG
    return numbers[0].amount >= numbers[1].amount


def _new_label(part: Sequence[Token]) -> str:
    """The words right before the word band, or else right after it."""
    place = next((n for n, token in enumerate(part) if token.word is Word.BAND), 0)
    before: list[str] = []
    for token in reversed(part[:place]):
        if token.word is not Word.OTHER:
            break
        before.insert(0, token.text)
    after: list[str] = []
    for token in part[place + (part[place].word is Word.BAND) :]:
        if token.word is not Word.OTHER:
            break
        after.append(token.text)
    return " ".join(before or after)
