"""Whole transactions on store threads; what a database cannot do, in one sentence."""

import asyncio
import sqlite3
import threading
from pathlib import Path

import pytest
import sqlalchemy as sa
from sqlalchemy.exc import IntegrityError, OperationalError

from bot.storage import Database, StorageTrouble, Transaction
from bot.storage.troubles import trouble
from core.club import DayBecomes, DayRecord
from core.training import Set
from tests.bot.storage.clubs import DAY, NOW, batch, club
from tests.postgres import Server

COUNTER = "telegram"


def increment(tx: Transaction) -> None:
    """Read, then write: what is lost where two may read before either writes."""
    number = int(tx.cursor(COUNTER) or "0")
    tx.set_cursor(COUNTER, str(number + 1))


# --- transactions --------------------------------------------------------------------------------------------


def test_of_800_increments_at_once_none_is_lost(sqlite_url: str) -> None:
    """Eight tasks on one database, and four more threads of a second one, as another program would be."""
    first, second = Database(sqlite_url).open(), Database(sqlite_url).open()

    async def from_the_loop() -> None:
        await asyncio.gather(*(first.run(increment) for _ in range(400)))

    def from_a_thread() -> None:
        for _ in range(100):
            second.run_now(increment)

    threads = [threading.Thread(target=from_a_thread) for _ in range(4)]
    for thread in threads:
        thread.start()
    asyncio.run(from_the_loop())
    for thread in threads:
        thread.join()
    assert first.run_now(lambda tx: tx.cursor(COUNTER)) == "800"
    first.close(), second.close()


def test_sqlite_commits_are_durable_and_checked(sqlite_url: str) -> None:
    database = Database(sqlite_url).open()

    def pragmas(tx: Transaction) -> list[object]:
        names = ("journal_mode", "synchronous", "foreign_keys", "secure_delete")
        return [tx.connection.exec_driver_sql(f"PRAGMA {name}").scalar() for name in names]

    assert database.run_now(pragmas) == ["wal", 2, 1, 1]  # 2: FULL
    database.close()


def test_two_transactions_never_decide_from_the_same_record(postgres_url: str) -> None:
    """Both read the log, add a set, and write it: the second waits for the first, and no set is lost."""
    database = Database(postgres_url).open()
    database.run_now(club)

    def one_more(tx: Transaction) -> None:
        store = tx.club("quay")
        session = store.log("mirela").session(DAY)
        sets = () if session is None else session.sets
        store.apply([DayBecomes("mirela", DAY, DayRecord((*sets, Set(len(sets)))))], "x", "x", NOW)

    threads = [threading.Thread(target=lambda: [database.run_now(one_more) for _ in range(5)]) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    session = database.run_now(lambda tx: tx.club("quay").log("mirela").session(DAY), write=False)
    assert session is not None
    assert [done.reps for done in session.sets] == list(range(20))
    database.close()


def test_a_deadlock_is_tried_again(postgres_url: str) -> None:
    """Two transactions that lock two members in opposite order: PostgreSQL ends one, which is run once more."""
    database = Database(postgres_url).open()
    database.run_now(lambda tx: club(tx, members=("mirela", "tobin")))
    meet, runs = threading.Barrier(2), []

    def lock(tx: Transaction, first: str, second: str) -> None:
        runs.append(first)
        tx.club("quay").log(first)
        if len(runs) <= 2:
            meet.wait(10)
        tx.club("quay").log(second)
        increment(tx)

    pairs = (("mirela", "tobin"), ("tobin", "mirela"))
    threads = [
        threading.Thread(target=lambda pair=pair: database.run_now(lambda tx: lock(tx, *pair))) for pair in pairs
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(runs) == 3
    assert database.run_now(lambda tx: tx.cursor(COUNTER)) == "2"
    database.close()


def test_the_loop_never_waits_for_the_database(database: Database) -> None:
    """A transaction that takes long runs on another thread, and the loop turns on meanwhile."""
    loop_thread, release, turns = threading.get_ident(), threading.Event(), 0

    def long(tx: Transaction) -> int:
        assert release.wait(10)
        return threading.get_ident()

    async def main() -> int:
        nonlocal turns
        running = asyncio.create_task(database.run(long))
        for _ in range(100):
            await asyncio.sleep(0)
            turns += 1
        release.set()
        return await running

    assert asyncio.run(main()) != loop_thread
    assert turns == 100


def test_what_waits_for_the_commit_happens_after_it_or_never(database: Database) -> None:
    seen: list[str | None] = []

    def work(tx: Transaction, fail: bool) -> None:
        increment(tx)
        tx.after_commit(lambda: seen.append(database.run_now(lambda other: other.cursor(COUNTER), write=False)))
        if fail:
            raise KeyError

    with pytest.raises(KeyError):
        database.run_now(lambda tx: work(tx, fail=True))
    database.run_now(lambda tx: work(tx, fail=False))
    assert seen == ["1"]


def test_a_reader_that_writes_is_refused(database: Database) -> None:
    with pytest.raises((StorageTrouble, sa.exc.InternalError)):
        database.run_now(increment, write=False)
    assert database.run_now(lambda tx: tx.cursor(COUNTER)) is None


def test_our_own_mistakes_are_no_trouble_of_the_database(database: Database) -> None:
    with pytest.raises(IntegrityError):
        database.run_now(lambda tx: tx.club("nowhere").set_setting("a", "b"))
    with pytest.raises((OperationalError, sa.exc.ProgrammingError), match="syntax"):
        database.run_now(lambda tx: tx.connection.exec_driver_sql("SELEKT 1"))


def test_constructing_does_nothing(tmp_path: Path) -> None:
    Database(f"sqlite:///{tmp_path / 'none.db'}")
    Database("nonsense").close()
    assert list(tmp_path.iterdir()) == []


# --- troubles ------------------------------------------------------------------------------------------------


def sentence(url: str, patience_s: float = 0.2) -> str:
    """The one sentence that opening (or one write) ends in."""
    database = Database(url, patience_s)
    with pytest.raises(StorageTrouble) as refused:
        database.open().run_now(lambda tx: tx.receive(batch("1", "2", "3"), NOW))
    database.close()
    text = str(refused.value)
    assert "\n" not in text
    assert text.endswith(".")
    return text


def test_a_locked_file(sqlite_url: str, tmp_path: Path) -> None:
    other = sqlite3.connect(tmp_path / "plimsoll.db", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    assert "is locked by another program; end that program, or wait and try again." in sentence(sqlite_url)
    other.execute("ROLLBACK")
    Database(sqlite_url, 0.2).open().close()
    other.close()


def test_a_full_disk_keeps_what_was_committed(sqlite_url: str) -> None:
    """SQLite's own limit of pages ends in the very error of a disk without room."""
    database = Database(sqlite_url).open()
    database.run_now(lambda tx: tx.receive(batch("1", cursor="1"), NOW))

    def fill(tx: Transaction) -> None:
        pages = tx.connection.exec_driver_sql("PRAGMA page_count").scalar_one()
        tx.connection.exec_driver_sql(f"PRAGMA max_page_count={pages + 4}")
        tx.receive(batch(*(str(number) for number in range(2, 500)), cursor="2"), NOW)

    with pytest.raises(StorageTrouble) as refused:
        database.run_now(fill)
    assert str(refused.value).endswith("cannot grow because the disk is full; free some space.")
    assert refused.value.passing
    assert database.run_now(lambda tx: tx.cursor("telegram"), write=False) == "1"
    database.close()


def test_a_file_that_may_not_be_written(sqlite_url: str, tmp_path: Path) -> None:
    """Read-only by its address, which holds for root too. Reading still works."""
    url = f"sqlite:///file:{tmp_path / 'plimsoll.db'}?mode=ro&uri=true"
    assert "may not be written; check the rights of the file and its folder." in sentence(url)
    database = Database(url).open()
    assert database.run_now(lambda tx: tx.clubs(), write=False) == {}
    database.close()


def test_a_file_that_is_no_database(tmp_path: Path) -> None:
    path = tmp_path / "notes.db"
    path.write_text("5 5 4 at 7.5\n" * 500)
    assert "is no database; name another file in PLIMSOLL_DATABASE." in sentence(f"sqlite:///{path}")
    assert path.read_text() == "5 5 4 at 7.5\n" * 500


def test_a_damaged_file(sqlite_url: str, tmp_path: Path) -> None:
    path = tmp_path / "plimsoll.db"
    data = bytearray(path.read_bytes())
    data[4096:] = b"\xff" * (len(data) - 4096)
    path.write_bytes(bytes(data))
    assert "is damaged; restore the newest backup." in sentence(sqlite_url)


def test_a_place_that_cannot_be(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    assert "its folder cannot be made" in sentence(f"sqlite:///{tmp_path / 'file' / 'x' / 'plimsoll.db'}")
    assert "cannot be opened" in sentence(f"sqlite:///{tmp_path}")


@pytest.mark.parametrize("url", ["nonsense", "sqlite:/", "mysql://x/y", "postgresql+psycopg://h:port/x", "oracle://"])
def test_an_address_that_is_none(url: str) -> None:
    assert "write sqlite:////path/file.db or postgresql+psycopg://user@host/name." in sentence(url)


def test_a_server_that_cannot_be_reached(tmp_path: Path) -> None:
    text = sentence(f"postgresql+psycopg://me:secret@/x?host={tmp_path}")
    assert "cannot be reached; check that the server runs and that PLIMSOLL_DATABASE names it." in text
    assert "secret" not in text


def test_a_database_that_the_server_does_not_have(postgres: Server) -> None:
    assert "does not exist on that server" in sentence(postgres.url("nowhere"))


def test_a_server_without_a_free_connection(postgres_url: str) -> None:
    database = Database(postgres_url, patience_s=0.1).open()

    def nest(tx: Transaction) -> None:
        database.run_now(nest, write=False)

    with pytest.raises(StorageTrouble, match="has no connection left; allow more connections on the server"):
        database.run_now(nest, write=False)
    database.close()


def test_a_server_that_goes_and_comes_back_is_used_again(postgres: Server, postgres_url: str) -> None:
    """Its connections are cut as by a restart: one sentence at most, and the next transaction is well."""
    database = Database(postgres_url).open()
    database.run_now(increment)
    postgres.sql("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = 'plimsoll'")
    database.run_now(increment)

    def cut(tx: Transaction) -> None:
        increment(tx)
        postgres.sql("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = 'plimsoll'")
        increment(tx)

    with pytest.raises(StorageTrouble) as refused:
        database.run_now(cut)
    assert refused.value.passing
    database.run_now(increment)
    assert database.run_now(lambda tx: tx.cursor(COUNTER)) == "3"
    database.close()


def test_an_unknown_trouble_still_is_one_sentence() -> None:
    assert str(trouble("x.db", "odd\nsecond line")) == "x.db: cannot be used (odd); check that the server runs."
    assert "no reason given" in str(trouble("x.db", " "))
