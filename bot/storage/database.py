"""A database and its threads: whole transactions, never on the event loop, never across a wait for the network.

SQLite: one writer thread, so that a writer waits for its turn instead of failing in the middle; readers read on
meanwhile. PostgreSQL: as many threads as its pool has connections.
"""

import asyncio
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TypeVar

import sqlalchemy as sa

from bot.storage.engines import POSTGRES_CONNECTIONS, engine, in_memory, is_sqlite
from bot.storage.transaction import Transaction
from bot.storage.troubles import StorageTrouble, may_try_again, plain_errors, safe
from core.problems import Problem

T = TypeVar("T")
READERS = 2
PAUSES_S = (0.05, 0.2, 0.8)  # before a transaction that PostgreSQL ended is run again: the other one goes first


class Database:
    """Constructing does nothing; `open` connects and brings the schema up to date.

    `patience_s`: how long a transaction waits for another program's lock, or for a free connection.
    """

    def __init__(self, url: str, patience_s: float = 10.0) -> None:
        self.url, self._patience_s = url, patience_s
        self._writing: sa.Engine | None = None
        self._reading: sa.Engine | None = None
        self._writers: ThreadPoolExecutor | None = None
        self._readers: ThreadPoolExecutor | None = None

    @property
    def is_sqlite(self) -> bool:
        return is_sqlite(self.url)

    def open(self) -> "Database":
        """Connect and migrate. Raises StorageTrouble."""
        self._writing = engine(self.url, self._patience_s)
        self._make_folder()
        apart = self.is_sqlite and not in_memory(self.url)
        self._reading = engine(self.url, self._patience_s, write=False) if apart else self._writing
        self._writers = ThreadPoolExecutor(1 if self.is_sqlite else POSTGRES_CONNECTIONS, "store-write")
        self._readers = ThreadPoolExecutor(READERS, "store-read") if apart else self._writers
        try:
            with plain_errors(self.url):
                self.migrate()
        except BaseException:
            self.close()
            raise
        return self

    def migrate(self) -> None:
        """Bring an empty or older database to the newest schema; a newer one is refused."""
        from bot.storage.migrating import newer, upgrade, version
        from bot.storage.migrations import HEAD

        with _opened(self._reading).connect() as connection:
            found = version(connection)
        problem = newer(found, safe(self.url))
        if problem is not None:
            raise StorageTrouble(problem)
        if found != HEAD:
            upgrade(_opened(self._writing))

    async def run(self, work: Callable[[Transaction], T], write: bool = True) -> T:
        """`work` as one whole transaction on a store thread; what it registered runs after the commit.

        `work` may be called again where PostgreSQL ended the transaction for another's sake, so it keeps no state.
        """
        threads = self._writers if write else self._readers
        return await asyncio.get_running_loop().run_in_executor(threads, self.run_now, work, write)

    def run_now(self, work: Callable[[Transaction], T], write: bool = True) -> T:
        """The same in this thread, for commands."""
        with plain_errors(self.url):
            for pause_s in PAUSES_S:
                try:
                    return self._once(work, write)
                except sa.exc.DBAPIError as error:
                    if not may_try_again(error):
                        raise
                time.sleep(pause_s)
            return self._once(work, write)

    def _once(self, work: Callable[[Transaction], T], write: bool) -> T:
        with _opened(self._writing if write else self._reading).connect() as connection:
            options = {"plimsoll_write": write, "postgresql_readonly": not write}
            with connection.execution_options(**options).begin():
                transaction = Transaction(connection)
                result = work(transaction)
        transaction.committed()
        return result

    def scrub(self) -> None:
        """Overwrite on disk what was deleted."""
        with plain_errors(self.url):
            if not self.is_sqlite:
                with _opened(self._writing).connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
                    connection.exec_driver_sql("VACUUM")
                return
            raw = _opened(self._writing).raw_connection()
            try:
                for statement in ("VACUUM", "PRAGMA wal_checkpoint(TRUNCATE)"):
                    raw.cursor().execute(statement)
            finally:
                raw.close()

    def close(self) -> None:
        """Wait for running transactions, then let go."""
        for threads in (self._writers, self._readers):
            if threads is not None:
                threads.shutdown(wait=True)
        for one in (self._reading, self._writing):
            if one is not None:
                one.dispose()
        self._writing = self._reading = self._writers = self._readers = None

    def _make_folder(self) -> None:
        """The folder of a SQLite file, where it is missing."""
        if not self.is_sqlite or in_memory(self.url) or "uri=true" in self.url:
            return
        folder = Path(str(sa.make_url(self.url).database)).parent
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            what = f"its folder cannot be made ({(error.strerror or 'refused').lower()})"
            mend = "name a place you may write to in PLIMSOLL_DATABASE"
            raise StorageTrouble(Problem(safe(self.url), what, mend)) from None


def _opened(one: sa.Engine | None) -> sa.Engine:
    assert one is not None, "open() comes first"
    return one
