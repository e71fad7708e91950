"""Bad input as a value: every mistake of a file at once; what is wrong, where, and how to mend it."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One mistake of theirs. `where` names the place ("kit.toml, plate 2"), `mend` says what to do."""

    where: str
    what: str
    mend: str

    def __str__(self) -> str:
        return f"{self.where}: {self.what}; {self.mend}."


class BadInput(Exception):
    """Their mistake, not ours: it carries one or more `Problem`s and reaches the user as one line each."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


def refuse(where: str, what: str, mend: str) -> BadInput:
    """A `BadInput` of one problem, to be raised."""
    return BadInput((Problem(where, what, mend),))
