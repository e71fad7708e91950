"""The coach's commands: a verb, a name, a value. Names, not numbers; the words are in `core/language`."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal, InvalidOperation
from itertools import pairwise

from core.club import Member
from core.language.tables import phrases, plain
from core.units import Unit


@dataclass(frozen=True, slots=True)
class Command:
    """`verb` is a key of the `[coach]` table; `rest` are the words after verb and name, as typed."""

    verb: str
    member: Member | None
    rest: str = ""


@dataclass(frozen=True, slots=True)
class Unsure:
    """A name that fits several members, or none."""

    verb: str
    name: str
    candidates: tuple[Member, ...]


@dataclass(frozen=True, slots=True)
class LogLine:
    """Sets the coach reports for somebody: "Ines 5 5 4 at 7.5"."""

    member: Member
    text: str


ALONE = ("week", "help", "roster", "undo")


def command(text: str, roster: Sequence[Member], language: str) -> Command | Unsure | None:
    """The command in a text; None where it starts with no verb of ours."""
    words = text.split()
    for verb, listed in phrases(language, "coach"):
        for phrase in sorted(listed, key=len, reverse=True):
            count = len(phrase.split())
            if plain(" ".join(words[:count])) == phrase:
                return _with_name(verb, words[count:], roster)
    return None


def _with_name(verb: str, words: list[str], roster: Sequence[Member]) -> Command | Unsure:
    if verb in ALONE:
        return Command(verb, None, " ".join(words))
    found, used = named_first(words, roster)
    if len(found) == 1:
        return Command(verb, found[0], " ".join(words[used:]))
    return Unsure(verb, " ".join(words[:1]), found)


def named_first(words: Sequence[str], roster: Sequence[Member]) -> tuple[tuple[Member, ...], int]:
    """The members whose name the first words are, and how many words that took: whole names before beginnings."""
    for count in range(min(4, len(words)), 0, -1):
        said = plain(" ".join(words[:count]))
        whole = tuple(one for one in roster if plain(one.name) == said)
        if whole:
            return whole, count
    said = plain(words[0]) if words else ""
    begun = tuple(one for one in roster if said and any(part.startswith(said) for part in plain(one.name).split()))
    return begun, 1


def log_lines(text: str, roster: Sequence[Member]) -> tuple[LogLine, ...] | None:
    """The reports of a message of the form "NAME sets; NAME sets"; None unless every part names one member."""
    lines: list[LogLine] = []
    for part in text.replace("\n", ";").split(";"):
        words = part.replace(":", " ").split()
        if not words:
            continue
        found, used = named_first(words, roster)
        if len(found) != 1 or not any(c.isdigit() for c in " ".join(words[used:])):
            return None
        lines.append(LogLine(found[0], " ".join(words[used:])))
    return tuple(lines) or None


def unknown_name(text: str, roster: Sequence[Member]) -> str:
    """The first word of the first part of a report that begins with nobody's name."""
    parts = [part.replace(":", " ").split() for part in text.replace("\n", ";").split(";") if part.strip()]
    unknown = [words[0] for words in parts if len(named_first(words, roster)[0]) != 1]
    return (unknown or [parts[0][0] if parts else text])[0][:40]


def until(rest: str, today: date, language: str) -> date | None:
    """The last day of "2 weeks", "10 days", "2026-11-03"; None where no length is said."""
    words = plain(rest).split()
    for word in words:
        try:
            return date.fromisoformat(word)
        except ValueError:
            continue
    lengths = dict(phrases(language, "lengths"))
    for number, unit in pairwise(words):
        if number.isdigit() and 0 < int(number) <= 520:
            if unit in lengths["week"]:
                return today + timedelta(weeks=int(number)) - timedelta(days=1)
            if unit in lengths["day"]:
                return today + timedelta(days=int(number) - 1)
    return None


def number(rest: str) -> Decimal | None:
    """The first number of the rest, with a decimal point or comma."""
    for word in rest.replace(",", ".").split():
        try:
            value = Decimal(word.rstrip("kglbs"))
        except InvalidOperation:
            continue
        if value.is_finite():
            return value
    return None


def unit_of(rest: str, usual: Unit) -> Unit:
    """The unit that stands behind the number; the athlete's own where none does."""
    words = plain(rest)
    return next((unit for unit in Unit if words.rstrip("s").endswith(unit.value)), usual)
