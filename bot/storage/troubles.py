"""What a database cannot do, in one sentence: what, where, how to mend it. Our own mistakes are none of these."""

import sqlite3
from types import TracebackType

import sqlalchemy as sa

from core.problems import BadInput, Problem

TROUBLES = (  # a sign in the driver's words, what is wrong, how to mend it, whether it may heal by itself
    ("locked", "is locked by another program", "end that program, or wait and try again", True),
    ("disk is full", "cannot grow because the disk is full", "free some space", True),
    ("No space left", "cannot grow because the disk is full", "free some space", True),
    ("disk I/O error", "cannot be read or written on its disk", "check the disk and its free space", True),
    ("unable to open", "cannot be opened", "check that its folder exists and may be written to", False),
    ("readonly", "may not be written", "check the rights of the file and its folder", False),
    ("malformed", "is damaged", "restore the newest backup", False),
    ("not a database", "is no database", "name another file in PLIMSOLL_DATABASE", False),
    ("does not exist", "does not exist on that server", "create it, or mend PLIMSOLL_DATABASE", False),
    ("authentication failed", "refuses the password", "mend the password in PLIMSOLL_DATABASE", False),
    ("too many", "has no connection left", "allow more connections on the server", True),
    ("connect", "cannot be reached", "check that the server runs and that PLIMSOLL_DATABASE names it", True),
)
TRY_AGAIN = ("40001", "40P01")  # PostgreSQL: serialization failure, deadlock


class StorageTrouble(BadInput):
    """The database cannot be used: one sentence says why. `passing`: it may heal by itself."""

    def __init__(self, problem: Problem, passing: bool = False) -> None:
        super().__init__((problem,))
        self.passing = passing


class plain_errors:
    """The database's own errors become a StorageTrouble; anything else, a broken constraint for instance, passes."""

    def __init__(self, url: str) -> None:
        self._where = safe(url)

    def __enter__(self) -> None:
        return None

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if isinstance(error, sa.exc.TimeoutError):
            raise trouble(self._where, "too many connections") from error
        if isinstance(error, sa.exc.DatabaseError) and _theirs(error):
            raise trouble(self._where, str(error.orig)) from error


def _theirs(error: sa.exc.DatabaseError) -> bool:
    """Whether the database is in trouble, and not our SQL wrong: SQLite has one class of error for both."""
    if isinstance(error.orig, sqlite3.DatabaseError):
        return _known(str(error.orig)) is not None
    return isinstance(error, sa.exc.OperationalError)


def _known(message: str) -> tuple[str, str, bool] | None:
    """What is wrong, how to mend it, whether it may heal by itself."""
    return next(((what, mend, passing) for sign, what, mend, passing in TROUBLES if sign in message), None)


def trouble(where: str, message: str) -> StorageTrouble:
    """The sentence for a message of the driver's own."""
    known = _known(message)
    if known is not None:
        what, mend, passing = known
        return StorageTrouble(Problem(where, what, mend), passing)
    first = message.strip().splitlines()[0][:160] if message.strip() else "no reason given"
    return StorageTrouble(Problem(where, f"cannot be used ({first})", "check that the server runs"), True)


def may_try_again(error: sa.exc.DBAPIError) -> bool:
    """Two transactions stood in each other's way and PostgreSQL ended this one."""
    return getattr(error.orig, "sqlstate", None) in TRY_AGAIN


def safe(url: str) -> str:
    """The address without its password."""
    try:
        return sa.make_url(url).render_as_string(hide_password=True)
    except (sa.exc.ArgumentError, ValueError):
        return "the database address"
