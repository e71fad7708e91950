"""The schema by migration is the schema by model; a database of the oldest version comes along with its data."""

from collections.abc import Iterator
from typing import Any

import pytest
import sqlalchemy as sa

from bot.storage import Database, Owner, StorageTrouble, Transaction
from bot.storage.engines import engine
from bot.storage.migrating import upgrade, version
from bot.storage.migrations import HEAD, REVISIONS
from bot.storage.tables import metadata
from core.orders import Order, OrderKind
from core.training import Exercise, Pain, PrescribedSet, Session, Set
from tests.bot.storage import oldest
from tests.bot.storage.clubs import DAY, NOW
from tests.bot.storage.schema import described


class Undone(Exception):
    """Carries what was seen out of a transaction that is rolled back."""


@pytest.fixture
def empty(empty_url: str) -> Iterator[sa.Engine]:
    made = engine(empty_url, 5)
    yield made
    made.dispose()


def test_schema_by_migration_is_schema_by_model(database: Database, empty: sa.Engine) -> None:
    """Both read back from the database, constraints and their names included."""
    metadata.create_all(empty)
    with empty.connect() as connection:
        model = described(connection)
    assert database.run_now(lambda tx: described(tx.connection)) == model


@pytest.mark.parametrize(
    ("sql", "name"),
    [
        ("ALTER TABLE told ADD COLUMN more INTEGER", "told"),
        ("DROP INDEX ix_inbox_waiting", "inbox"),
        ("CREATE TABLE extra (id INTEGER PRIMARY KEY)", "extra"),
    ],
)
def test_the_comparison_sees_a_difference(database: Database, sql: str, name: str) -> None:
    def work(tx: Transaction) -> None:
        before = described(tx.connection)
        tx.connection.exec_driver_sql(sql)
        raise Undone(before, described(tx.connection))

    with pytest.raises(Undone) as undone:
        database.run_now(work)
    before, after = undone.value.args
    assert {one for one in {*before, *after} if before.get(one) != after.get(one)} == {name}


def test_the_oldest_database_comes_along_with_its_data(empty: sa.Engine, empty_url: str) -> None:
    upgrade(empty, REVISIONS[0])
    with empty.begin() as connection:
        oldest.fill(connection)
    database = Database(empty_url).open()

    def work(tx: Transaction) -> list[Any]:
        store = tx.club("quay")
        log = store.log("mirela")
        waiting = tx.claim("telegram 42")
        assert log.question is not None
        assert waiting is not None
        return [
            log.sessions, log.orders, log.bodyweights[0].mass_g, log.kits[0][1], log.question.subject, log.told,
            log.entries[0].text, waiting.envelope.text, tx.cursor("telegram"), store.planned("mirela").keys(),
            store.chats("mirela"), store.chats(None), tx.whose("telegram", "42", "42"), store.consents("mirela"),
            store.invites()[0].member, store.setting("language"), len(store.audit()), len(tx.erasures()),
            store.checkpoint("mirela", "pull_up", DAY, "1") is not None, tx.stranger("telegram", "9", True),
        ]  # fmt: skip

    sets = (Set(5, 7500, (), 8.5), Set(4, None, None, failed=True, exercise=Exercise.DIP))
    assert database.run_now(work) == [
        (
            Session("2026-10-02", DAY.replace(day=2), sets, pain=Pain("elbow", 3)),
            Session("2026-10-05", DAY, prescribed=(PrescribedSet(5),)),
        ),
        (Order(DAY.replace(day=2), "coach", OrderKind.HOLD),), 72400, {"unit": "kg"}, "elbow", {"welcome"},
        "5 5", "5 5 4", "99", {("session", DAY)},
        (("telegram", "42"),), (("telegram", "-7"),), Owner("quay", "mirela"), {"health"},
        "mirela", "en", 1, 1,
        True, (2, False),
    ]  # fmt: skip
    created = database.run_now(
        lambda tx: tx.connection.exec_driver_sql("SELECT created_ms FROM membership").scalar_one()
    )
    assert created == oldest.THEN
    database.run_now(lambda tx: tx.club("quay").erase("mirela", "okko", NOW))
    database.close()


def test_the_past_has_something_in_every_table(empty: sa.Engine) -> None:
    upgrade(empty, REVISIONS[0])
    with empty.connect() as connection:
        assert {name for name, _ in oldest.ROWS} == set(described(connection))


def test_opening_again_changes_nothing(database_url: str) -> None:
    for _ in range(2):
        database = Database(database_url).open()
        assert database.run_now(lambda tx: version(tx.connection), write=False) == HEAD
        database.close()


def test_a_failing_migration_leaves_all_as_it_was(empty: sa.Engine) -> None:
    """The table that the second migration makes is in its way: nothing of it remains, not even its first steps."""
    upgrade(empty, REVISIONS[0])
    with empty.begin() as connection:
        oldest.fill(connection)
        connection.exec_driver_sql("CREATE TABLE seat (id INTEGER)")
        before = described(connection)
    with pytest.raises(sa.exc.DBAPIError):
        upgrade(empty)
    with empty.connect() as connection:
        assert described(connection) == before
        assert version(connection) == REVISIONS[0]


def test_two_who_open_at_once_migrate_once(empty_url: str) -> None:
    import threading

    failures: list[BaseException] = []

    def open_it() -> None:
        try:
            Database(empty_url).open().close()
        except BaseException as error:
            failures.append(error)

    openers = [threading.Thread(target=open_it) for _ in range(3)]
    for opener in openers:
        opener.start()
    for opener in openers:
        opener.join()
    assert failures == []


def test_a_newer_database_is_refused(database: Database, database_url: str) -> None:
    database.run_now(lambda tx: tx.connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(StorageTrouble) as refused:
        Database(database_url).open()
    (problem,) = refused.value.problems
    what = f"was written by a newer version of Plimsoll (schema 9999, this one knows {HEAD})"
    assert (problem.what, problem.mend) == (what, "update Plimsoll, or restore a backup of this version")
    database.run_now(lambda tx: tx.connection.exec_driver_sql(f"UPDATE alembic_version SET version_num = '{HEAD}'"))
