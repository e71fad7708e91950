"""What a text that records nothing asks for, and whether a text names a sign that stops training."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache

from core.language import REFERENCE, word_file
from core.language.tables import phrases, plain, spoken

MORE = "…"  # in a phrase of [requests]: further words may stand here


@dataclass(frozen=True, slots=True)
class Wording:
    """One way to ask: its words, and whether others than [courtesy] may go before or follow."""

    key: str
    words: tuple[str, ...]
    begins: bool
    ends: bool

    def fits(self, said: Sequence[str], courtesy: frozenset[str]) -> bool:
        """Whether `said` is this wording, so that "my plan is to rest" asks for no plan."""
        size = len(self.words)
        starts = (at for at in range(len(said) - size + 1) if tuple(said[at : at + size]) == self.words)
        return any(
            (not self.begins or courtesy.issuperset(said[:at]))
            and (not self.ends or courtesy.issuperset(said[at + size :]))
            for at in starts
        )


def request(text: str, language: str) -> str | None:
    """The key of [requests] that the text asks for, the longest wording first; None where it asks for nothing."""
    said, courtesy = plain(text).split(), _courtesy(spoken(language))
    return next((one.key for one in _wordings(spoken(language)) if one.fits(said, courtesy)), None)


def alarming(text: str, language: str) -> bool:
    """Whether the text names a sign of [alarm] that it does not deny: "no chest pain, but a numb hand" does."""
    said = f" {plain(text)} "
    for denied in _all(phrases(language, "alarm_denied")):
        said = said.replace(f" {denied} ", " . ")
    return any(f" {sign} " in said for sign in _all(phrases(language, "alarm")))


def _all(table: Iterable[tuple[str, tuple[str, ...]]]) -> list[str]:
    return [phrase for _, listed in table for phrase in listed]


@cache
def _courtesy(language: str) -> frozenset[str]:
    return frozenset(_all(phrases(language, "courtesy")))


@cache
def _wordings(language: str) -> tuple[Wording, ...]:
    """The language's own and the English ones, longest first."""
    found = [
        Wording(key, tuple(plain(one).split()), not one.startswith(MORE), not one.endswith(MORE))
        for name in dict.fromkeys((language, REFERENCE))
        for key, listed in word_file(name)["requests"].items()
        for one in listed
    ]
    return tuple(sorted(found, key=lambda one: -len(" ".join(one.words))))
