"""What is said, before it has words: a key of `core/language/*.toml` and the values that fill it."""

from dataclasses import dataclass
from datetime import date, datetime, time
from typing import Any, Union


@dataclass(frozen=True, slots=True)
class Mass:
    """A mass in grams, shown in the reader's unit."""

    mass_g: int


@dataclass(frozen=True, slots=True)
class Phrase:
    """A key with its values. Values: int, float, str, Mass, dates, phrases and tuples of these."""

    key: str
    values: "tuple[tuple[str, Value], ...]" = ()

    def value(self, name: str) -> "Value":
        return dict(self.values)[name]


Value = Union[int, float, str, Mass, date, time, datetime, Phrase, "tuple[Value, ...]"]


def phrase(key: str, **values: Any) -> Phrase:
    """`phrase("sets_left", n=2)`: the everyday way to make one."""
    return Phrase(key, tuple(values.items()))
