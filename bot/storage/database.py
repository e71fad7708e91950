"""A database and its threads: whole transactions, never on the event loop, never across a wait for the network.

SQLite: WAL, synchronous=FULL (NORMAL may lose what was acknowledged), BEGIN IMMEDIATE and one writer thread, so that
a writer waits for its turn instead of failing in the middle. PostgreSQL: psycopg 3 and a bounded pool.
"""

import asyncio
import sqlite3
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, TypeVar

import sqlalchemy as sa

from bot.storage.transaction import Transaction
from core.problems import BadInput, Problem

T = TypeVar("T")
POSTGRES_THREADS = 8
BUSY_MS = 10_000


class StorageTrouble(BadInput):
    """The database cannot be used: one sentence says why. `passing`: it may heal by itself."""

    def __init__(self, problem: Problem, passing: bool = False) -> None:
        super().__init__((problem,))
        self.passing = passing


class Database:
    """Constructing does nothing; `open` connects and brings the schema up to date."""

    def __init__(self, url: str) -> None:
        self.url = url
        self._engine: sa.Engine | None = None
        self._writers: ThreadPoolExecutor | None = None
        self._readers: ThreadPoolExecutor | None = None

    @property
    def is_sqlite(self) -> bool:
        return self.url.startswith("sqlite")

    def open(self) -> "Database":
        """Connect and migrate. Raises StorageTrouble."""
        from bot.storage.migrating import migrate

        try:
            self._engine = _engine(self.url)
        except (sa.exc.ArgumentError, ModuleNotFoundError) as error:
            raise StorageTrouble(_unusable(self.url, error)) from None
        threads = 1 if self.is_sqlite else POSTGRES_THREADS
        self._writers = ThreadPoolExecutor(threads, thread_name_prefix="store-write")
        self._readers = ThreadPoolExecutor(2, thread_name_prefix="store-read") if self.is_sqlite else self._writers
        with _PlainErrors(self.url):
            migrate(self._engine, self.url)
        return self

    async def run(self, work: Callable[[Transaction], T], write: bool = True) -> T:
        """`work` as one whole transaction on a store thread; what it registered runs after the commit."""
        threads = self._writers if write else self._readers
        return await asyncio.get_running_loop().run_in_executor(threads, self.run_now, work, write)

    def run_now(self, work: Callable[[Transaction], T], write: bool = True) -> T:
        """The same in this thread, for commands."""
        assert self._engine is not None, "open() comes first"
        with _PlainErrors(self.url):
            connection = self._engine.connect().execution_options(plimsoll_write=write)
            with connection, connection.begin():
                transaction = Transaction(connection)
                result = work(transaction)
            transaction.committed()
        return result

    def close(self) -> None:
        """Wait for running transactions, then let go."""
        for threads in {self._writers, self._readers} - {None}:
            assert threads is not None
            threads.shutdown(wait=True)
        if self._engine is not None:
            self._engine.dispose()
        self._engine = self._writers = self._readers = None


def _engine(url: str) -> sa.Engine:
    if not url.startswith("sqlite"):
        return sa.create_engine(url, pool_size=POSTGRES_THREADS, max_overflow=0, pool_pre_ping=True)
    path = sa.make_url(url).database
    if path and path != ":memory:":
        try:
            Path(path).parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            what = f"its folder cannot be made ({error.strerror})"
            raise StorageTrouble(Problem(url, what, "name a place you may write to in PLIMSOLL_DATABASE")) from None
    engine = sa.create_engine(url, connect_args={"check_same_thread": False, "timeout": BUSY_MS / 1000})
    sa.event.listen(engine, "connect", _prepare_sqlite)
    sa.event.listen(engine, "begin", _begin_sqlite)
    return engine


def _prepare_sqlite(connection: sqlite3.Connection, _record: Any) -> None:
    connection.isolation_level = None  # we say BEGIN ourselves
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", f"busy_timeout={BUSY_MS}"):
        connection.execute(f"PRAGMA {pragma}")


def _begin_sqlite(connection: sa.Connection) -> None:
    write = connection.get_execution_options().get("plimsoll_write", True)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if write else "BEGIN")


class _PlainErrors:
    """The database's own errors, said in one sentence; anything else passes."""

    def __init__(self, url: str) -> None:
        self._where = safe(url)

    def __enter__(self) -> None:
        return None

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, _: object) -> None:
        if isinstance(error, sa.exc.OperationalError):
            raise trouble(self._where, str(error.orig)) from error


TROUBLES = (
    ("locked", "is locked by another program", "end that program, or wait and try again", True),
    ("disk is full", "cannot grow because the disk is full", "free some space", True),
    ("unable to open", "cannot be opened", "check the folder and its rights", False),
    ("readonly", "may not be written", "check the rights of the file and its folder", False),
    ("malformed", "is damaged", "restore the newest backup", False),
    ("not a database", "is no database", "name another file in PLIMSOLL_DATABASE", False),
)


def trouble(where: str, message: str) -> StorageTrouble:
    """The sentence for a message of the database's own."""
    for sign, what, mend, passing in TROUBLES:
        if sign in message:
            return StorageTrouble(Problem(where, what, mend), passing)
    first = message.strip().splitlines()[0][:160] if message.strip() else "no reason given"
    return StorageTrouble(Problem(where, f"cannot be used ({first})", "check that the server runs"), True)


def safe(url: str) -> str:
    """The address without its password."""
    try:
        return sa.make_url(url).render_as_string(hide_password=True)
    except sa.exc.ArgumentError:
        return "the database address"


def _unusable(url: str, error: Exception) -> Problem:
    if isinstance(error, ModuleNotFoundError):
        return Problem(
            safe(url), f"needs the package {error.name}", "install it with: pip install 'plimsoll[postgres]'"
        )
    return Problem(
        "PLIMSOLL_DATABASE", "is no database address", "write sqlite:////path/file.db or postgresql+psycopg://…"
    )
