"""One table of a kit file, read key by key; every mistake is kept with its place and remedy, none is raised."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from difflib import get_close_matches
from enum import StrEnum
from typing import TypeVar

from core.problems import Problem
from core.units import Unit, grams

MAX_TEXT = 40
UM_PER_CM = 10_000
UM_PER_MM = 1_000
Choice = TypeVar("Choice", bound=StrEnum)


@dataclass(frozen=True, slots=True)
class Range:
    """What a number may be, both ends included, in the words of the file."""

    low: Decimal
    high: Decimal


def between(low: str | int, high: str | int) -> Range:
    return Range(Decimal(low), Decimal(high))


@dataclass(slots=True)
class Table:
    """`data` at `where`; getters give None where the key is missing or wrong, and note what is wrong."""

    data: Mapping[str, object]
    where: str
    problems: list[Problem]
    meant: set[str] = field(default_factory=set)  # keys that a misspelt one was surely meant to be

    def note(self, what: str, mend: str) -> None:
        self.problems.append(Problem(self.where, what, mend))

    def only(self, keys: Iterable[str]) -> None:
        """Name every key that is not one of `keys`."""
        known = tuple(keys)
        for key in self.data:
            if key not in known:
                close = get_close_matches(str(key), known, 1)
                self.meant.update(close)
                hint = f'write "{close[0]}"' if close else f"leave it out (known here: {', '.join(known)})"
                self.note(f'unknown key "{shown(key)}"', hint)

    def has(self, key: str) -> bool:
        """Whether `key` is there; JSON's null is the same as leaving it out."""
        return self.data.get(key) is not None

    def need(self, key: str, example: str) -> bool:
        """Whether `key` is there; its absence is a problem."""
        if not self.has(key) and key not in self.meant:
            self.note(f"no {key}", f'add "{key} = {example}"')
        return self.has(key)

    def number(self, key: str, allowed: Range) -> Decimal | None:
        """A plain number within `allowed`; None where the key is missing or wrong."""
        if not self.has(key):
            return None
        value = plain_number(self.data[key])
        if value is None:
            self.note(f"{key} = {shown(self.data[key])} is no number", "write a plain number, without quotes")
        elif value < 0 <= allowed.low:
            self.note(
                f"{key} = {shown(self.data[key])} is negative", f"write a number from {allowed.low} to {allowed.high}"
            )
            return None
        elif not allowed.low <= value <= allowed.high:
            self.note(
                f"{key} = {shown(self.data[key])} is out of range", f"write one from {allowed.low} to {allowed.high}"
            )
            return None
        return value

    def whole(self, key: str, allowed: Range) -> int | None:
        value = self.number(key, allowed)
        if value is not None and value != int(value):
            self.note(f"{key} = {shown(value)} is no whole number", "write a whole number")
            return None
        return None if value is None else int(value)

    def mass(self, key: str, unit: Unit, allowed: Range) -> int | None:
        """A mass of at least a gram (or 0 where `allowed` starts there), in grams."""
        value = self.number(key, allowed)
        mass_g = None if value is None else grams(value, unit)
        if mass_g == 0 and allowed.low > 0:
            self.note(f"{key} = {shown(value)} {unit} is less than a gram", "write its mass")
            return None
        return mass_g

    def length(self, key: str, um_per_unit: int, allowed: Range) -> int | None:
        value = self.number(key, allowed)
        return None if value is None else int(value * um_per_unit)

    def flag(self, key: str, usual: bool) -> bool:
        if not self.has(key):
            return usual
        value = self.data[key]
        if not isinstance(value, bool):
            self.note(f"{key} = {shown(value)} is neither true nor false", "write true or false, without quotes")
            return usual
        return value

    def text(self, key: str) -> str | None:
        """A short text in one line, without blanks around it."""
        value = self.data.get(key)
        if not self.has(key):
            return None
        if not isinstance(value, str) or not value.strip():
            self.note(f"{key} = {shown(value)} is no text", f'write words in quotes, like {key} = "amber"')
            return None
        if len(value) > MAX_TEXT or not value.isprintable():
            self.note(f"{key} is too long or has odd characters", f"write up to {MAX_TEXT} letters on one line")
            return None
        return value.strip()

    def unit(self, outer: Unit | None) -> Unit:
        """The unit of this table: its own, else the file's, else kilograms."""
        own = self.choice("unit", Unit)
        if own is not None:
            return own
        return Unit.KG if outer is None else outer

    def choice(self, key: str, kind: type[Choice]) -> Choice | None:
        if not self.has(key):
            return None
        options = tuple(option.value for option in kind)
        if self.data[key] not in options:
            self.note(f"{key} = {shown(self.data[key])} is unknown", f"write one of {', '.join(options)}")
            return None
        return kind(str(self.data[key]))


def plain_number(value: object) -> Decimal | None:
    """A finite number as a decimal: no text, no true or false, no nan, no infinity."""
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        return None
    if isinstance(value, int) and value.bit_length() > 64:
        return Decimal("1E+30")  # out of every range, and spares the digits
    exact = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
    return exact if exact.is_finite() else None


def shown(value: object) -> str:
    """The value as the file has it, short enough for one sentence."""
    if isinstance(value, int) and value.bit_length() > 64:
        return "a number of too many digits"
    text = str(value) if isinstance(value, Decimal | int | float) and not isinstance(value, bool) else repr(value)
    printable = "".join(letter if letter.isprintable() else "?" for letter in text.strip("'"))
    return printable if len(printable) <= MAX_TEXT else f"{printable[:MAX_TEXT]}…"
