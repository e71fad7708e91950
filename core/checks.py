"""Checking untrusted JSON: every field against a table, every mistake collected with its place and remedy."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Any

from core.problems import Problem

Check = Callable[[object], Any]


@dataclass(frozen=True, slots=True)
class Field:
    """One key of an object: how its value is checked, and whether it must be there."""

    check: Check
    required: bool = False


class Mistake(Exception):
    """A value that does not pass: what it is, and how to mend it."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(what)
        self.what, self.mend = what, mend


def whole(low: int, high: int) -> Check:
    """A whole number from `low` to `high`; 5.0 counts as 5, true and "5" do not."""
    mend = f"give a whole number from {low} to {high}"

    def check(value: object) -> int:
        if isinstance(value, float) and value.is_integer():
            value = int(value)
        if isinstance(value, bool) or not isinstance(value, int):
            raise Mistake(f"{shown(value)} is no whole number", mend)
        if not low <= value <= high:
            raise Mistake(f"{shown(value)} is out of range", mend)
        return value

    return check


def halves(low: int, high: int) -> Check:
    """A number in halves, as ratings of effort are."""
    mend = f"give a number from {low} to {high} in halves"

    def check(value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise Mistake(f"{shown(value)} is no number", mend)
        if not low <= value <= high or value * 2 != int(value * 2):
            raise Mistake(f"{shown(value)} is no rating", mend)
        return float(value)

    return check


def words(longest: int, shortest: int = 0) -> Check:
    """Text of a bounded length without control characters (line breaks and tabs are fine)."""

    def check(value: object) -> str:
        if not isinstance(value, str):
            raise Mistake(f"{shown(value)} is no text", "put it in quotes")
        if not shortest <= len(value) <= longest:
            raise Mistake(f"{len(value)} characters", f"give {shortest} to {longest} characters")
        if any((ord(one) < 32 and one not in "\n\t") or 0xD800 <= ord(one) < 0xE000 for one in value):
            raise Mistake("has control characters in it", "take them out")
        return value

    return check


def pattern(expression: str, example: str) -> Check:
    """Text of a given form."""
    compiled = re.compile(expression)

    def check(value: object) -> str:
        if not isinstance(value, str) or compiled.fullmatch(value) is None:
            raise Mistake(f"{shown(value)} has another form", f"write it like {example}")
        return value

    return check


def choice(kinds: type[Enum] | tuple[str, ...]) -> Check:
    """One of the named values."""
    known = kinds if isinstance(kinds, tuple) else tuple(str(kind.value) for kind in kinds)

    def check(value: object) -> str:
        if not isinstance(value, str) or value not in known:
            raise Mistake(f"{shown(value)} is not known", f"use one of {', '.join(known)}")
        return value

    return check


def iso_day(value: object) -> str:
    """A day as 2026-10-05."""
    mend = "write the day like 2026-10-05"
    if not isinstance(value, str) or re.fullmatch(r"\d{4}-\d{2}-\d{2}", value, re.ASCII) is None:
        raise Mistake(f"{shown(value)} is no day", mend)
    try:
        date.fromisoformat(value)
    except ValueError:
        raise Mistake(f"{shown(value)} is not in the calendar", mend) from None
    return value


def flag(value: object) -> bool:
    """True or false."""
    if not isinstance(value, bool):
        raise Mistake(f"{shown(value)} is neither true nor false", "write true or false")
    return value


def maybe(check: Check) -> Check:
    """The same, or null."""
    return lambda value: None if value is None else check(value)


def shown(value: object) -> str:
    """The value, short enough for a sentence (a number of any length included)."""
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) > 10**15:
        return "a number that long"
    if isinstance(value, dict | list):
        return "an object" if isinstance(value, dict) else "a list"
    if value is None or isinstance(value, bool):
        return "null" if value is None else str(value).lower()
    text = repr(value)
    return text if len(text) <= 40 else f"{text[:37]}…"


class Findings:
    """The mistakes found so far; more than `most` are counted and not listed."""

    most = 50

    def __init__(self) -> None:
        self.problems: list[Problem] = []
        self.more = 0

    def add(self, where: str, what: str, mend: str) -> None:
        if len(self.problems) < self.most:
            self.problems.append(Problem(where, what, mend))
        else:
            self.more += 1

    def add_all(self, problems: Iterable[Problem]) -> None:
        for problem in problems:
            self.add(problem.where, problem.what, problem.mend)

    def all(self, where: str) -> tuple[Problem, ...]:
        if not self.more:
            return tuple(self.problems)
        rest = Problem(where, f"{self.more} more mistakes", "mend these first and try again")
        return (*self.problems, rest)

    def record(self, data: object, fields: Mapping[str, Field], where: str) -> dict[str, Any] | None:
        """The known keys of an object that pass their check; None where it is no object or lacks a key.

        Unknown keys are left out without a word, so that a newer file can be read.
        """
        if not isinstance(data, dict):
            self.add(where, f"{shown(data)} where an object belongs", "write {…} with the keys of the format")
            return None
        good: dict[str, Any] = {}
        whole_record = True
        for key, field in fields.items():
            if key not in data:
                whole_record = whole_record and not field.required
                if field.required:
                    self.add(where, f"{key} is missing", f'add "{key}"')
                continue
            try:
                good[key] = field.check(data[key])
            except Mistake as mistake:
                whole_record = False
                self.add(f"{where}, {key}", mistake.what, mistake.mend)
        return good if whole_record else None

    def items(self, data: object, most: int, where: str) -> list[object]:
        """The items of a list of at most `most`; null counts as empty."""
        if data is None:
            return []
        if not isinstance(data, list):
            self.add(where, f"{shown(data)} where a list belongs", "write […]")
            return []
        if len(data) > most:
            self.add(where, f"{len(data)} entries", f"give at most {most}")
            return []
        return data
