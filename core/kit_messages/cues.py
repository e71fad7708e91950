"""Whether a message that nobody asked for is about the kit at all: rather too seldom than for a set of pull-ups."""

from collections.abc import Sequence
from decimal import Decimal

from core.kit import Kit
from core.kit_messages.statements import ENDS, MODES, NOUNS, label_in
from core.kit_messages.tokens import Token, Word
from core.units import grams

CHANGES = frozenset((Word.MORE, Word.LOST, Word.WITHOUT, Word.ONLY))


def about_kit(found: Sequence[Token], kit: Kit) -> bool:
    """A kit word with a verb for it, readings of a band, the chain's places, or masses of the kit that are missing."""
    words = {token.word for token in found}
    numbers = [token for token in found if token.word is Word.NUMBER]
    if words & set(MODES) and words & {*NOUNS, Word.CHAIN, Word.TIMES}:
        return True
    if Word.CHAIN in words and numbers:
        return True
    if Word.BAND in words and words & set(MODES) and not numbers:
        return True
    named = Word.BAND in words or label_in(found, [band.label for band in kit.bands]) is not None
    if named and words & ENDS and numbers:
        return True
    return bool(numbers and words & CHANGES) and all(_weighs(token, kit) for token in numbers)


def _weighs(token: Token, kit: Kit) -> bool:
    """Whether some piece has this mass, weighed or stamped."""
    unit = kit.unit if token.unit is None else token.unit
    mass_g = grams(min(token.value, Decimal(10_000)), unit)
    return any(mass_g in (piece.mass_g, piece.face_g) for piece in kit.pieces)
