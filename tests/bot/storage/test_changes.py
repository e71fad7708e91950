"""Whatever is applied is read back: the store against a club in a dictionary; and every change leaves its audit."""

from dataclasses import replace
from datetime import timedelta
from itertools import count
from typing import Any, get_args

import pytest
from hypothesis import HealthCheck, find, given, settings
from hypothesis import strategies as st
from sqlalchemy.exc import IntegrityError

from bot.storage import Database, Store, Transaction
from core.club import (
    Change,
    DayBecomes,
    DayRecord,
    Heard,
    KitBecomes,
    Log,
    Member,
    Ordered,
    Prescribed,
    ProfileBecomes,
    Role,
    Told,
)
from core.orders import Order, OrderKind
from core.speech import Say, ToMember
from core.training import Pain, Set
from tests.book import MemoryBook
from tests.bot.storage.changes import changes, orders
from tests.bot.storage.clubs import DAY, NOW, athlete, club, entry, later

CLUBS = count(1)
LAWS = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
few_orders = st.shared(st.lists(orders, min_size=1, max_size=3), key="orders").flatmap(st.sampled_from)


def normal(log: Log) -> Log:
    """Entries in the order in which the store gives them; an entry that was heard twice counts once."""
    kept = {}
    for one in log.entries:
        kept.setdefault((one.message, one.revision), one)
    newest = max((one.day for one in kept.values()), default=DAY)
    recent = [one for one in kept.values() if one.day >= newest - timedelta(days=14)]
    return replace(log, entries=tuple(sorted(recent, key=lambda one: (one.order, one.message, one.revision))))


@LAWS
@given(applied=st.lists(changes("mirela", few_orders), max_size=12))
def test_whatever_was_applied_is_read_back(database: Database, applied: list[Any]) -> None:
    book = MemoryBook({"mirela": Member("mirela", "Mirela", Role.ATHLETE)}, {"mirela": Log(athlete())})
    for change in applied:
        book.apply((change,))

    def work(tx: Transaction) -> tuple[Log, Any]:
        store = club(tx, f"club {next(CLUBS)}")
        for change in applied:
            store.apply([change], "mirela", "test", NOW)
        return store.log("mirela"), store.planned("mirela")

    log, planned = database.run_now(work)
    assert normal(log) == normal(book.log("mirela"))
    assert planned == {(kind.value, day): due for (_, kind, day), due in book.planned.items()}


@pytest.mark.parametrize("kind", get_args(Change), ids=lambda kind: kind.__name__)
def test_the_law_meets_every_kind_of_change(kind: type) -> None:
    """The check of the law itself: its strategy makes each kind that there is, or `find` raises."""
    often = settings(max_examples=2000, deadline=None, database=None, derandomize=True)
    find(changes("mirela"), lambda change: type(change) is kind, settings=often)


def test_every_change_has_an_actor_and_a_cause(database: Database) -> None:
    def work(tx: Transaction) -> Any:
        store = club(tx)
        order = Order(DAY, "coach", OrderKind.HOLD)
        store.apply([Ordered("mirela", order), DayBecomes("mirela", DAY, DayRecord())], "okko", "telegram 1 2", NOW)
        return store.audit()

    rows = database.run_now(work)
    assert rows == (
        (NOW, "okko", "telegram 1 2", "Ordered", "mirela"),
        (NOW, "okko", "telegram 1 2", "DayBecomes", "mirela"),
    )


def test_entries_are_immutable(database: Database) -> None:
    """Heard again with other words, a revision stays as it was heard first."""
    first, second = entry("1", text="5 5 4"), entry("1", text="5 5 5")

    def work(tx: Transaction) -> Log:
        store = club(tx)
        store.apply([Heard("mirela", first), Heard("mirela", second)], "mirela", "test", NOW)
        return store.log("mirela")

    assert database.run_now(work).entries == (first,)


def test_an_exercise_is_a_column_with_the_pull_up_as_default(database: Database) -> None:
    def work(tx: Transaction) -> Any:
        store = club(tx)
        store.apply([DayBecomes("mirela", DAY, DayRecord((Set(5),)))], "mirela", "test", NOW)
        tx.connection.exec_driver_sql(
            "INSERT INTO done_set (club_id, member_id, day, position, reps, failed) "
            f"VALUES ('quay', 'mirela', '{DAY}', 1, 4, FALSE)"
        )
        return store.log("mirela").sessions[0].sets

    assert database.run_now(work) == (Set(5), Set(4, None, None))


@pytest.mark.parametrize(
    "broken",
    [
        DayBecomes("mirela", DAY, DayRecord((Set(-1),))),
        DayBecomes("mirela", DAY, DayRecord((Set(5, added_g=-5),))),
        DayBecomes("mirela", DAY, DayRecord((Set(5, rpe=10.5),))),
        DayBecomes("mirela", DAY, DayRecord((Set(5, seconds=-1),))),
        DayBecomes("mirela", DAY, DayRecord(pain=Pain("elbow", 11))),
        DayBecomes("mirela", DAY, DayRecord(pain=Pain("elbow", None, -1))),
        DayBecomes("mirela", DAY, DayRecord(mass_g=0)),
        DayBecomes("nobody", DAY, DayRecord()),
        Ordered("nobody", Order(DAY, "coach", OrderKind.HOLD)),
        Told("nobody", "welcome"),
    ],
    ids=str,
)
def test_the_database_itself_refuses(database: Database, broken: Any) -> None:
    """`table=True` models check nothing: the constraints do."""
    database.run_now(club)
    with pytest.raises(IntegrityError):
        database.run_now(lambda tx: tx.club("quay").apply([broken], "mirela", "test", NOW))


# --- checkpoints ---------------------------------------------------------------------------------------------


def days_kept(store: Store) -> list[int]:
    """The days of October that have a checkpoint."""
    kept, before = [], DAY.replace(month=12)
    while (found := store.checkpoint("mirela", "pull_up", before, "1")) is not None:
        before = found[0]
        kept.append(before.day)
    return kept


@pytest.mark.parametrize(
    ("change", "kept"),
    [
        (DayBecomes("mirela", DAY.replace(day=3), DayRecord()), [1]),
        (KitBecomes("mirela", DAY.replace(day=5), {}), [3, 1]),
        (ProfileBecomes("mirela", athlete(sex="female")), []),
        (Prescribed("mirela", DAY.replace(day=1), (), {}), [5, 3, 1]),
        (DayBecomes("mirela", DAY.replace(day=6), DayRecord()), [5, 3, 1]),
    ],
    ids=str,
)
def test_estimates_from_a_changed_day_on_are_void(database: Database, change: Any, kept: list[int]) -> None:
    def work(tx: Transaction) -> Any:
        store, other = club(tx, members=("mirela", "tobin")), club(tx, "shore")
        for one, member in ((store, "mirela"), (store, "tobin"), (other, "mirela")):
            for day in (1, 3, 5):
                one.save_checkpoint(member, "pull_up", DAY.replace(day=day), "1", "hash", {"day": day})
        store.save_checkpoint("mirela", "pull_up", DAY.replace(day=5), "1", "again", {"n": [0.1, 1e-300]})
        before = store.checkpoint("mirela", "pull_up", DAY.replace(day=6), "1")
        store.apply([change], "mirela", "test", NOW)
        others = (store.checkpoint("tobin", "pull_up", later(days=60).date(), "1"), days_kept(other))
        return before, days_kept(store), others

    before, left, (others, elsewhere) = database.run_now(work)
    assert before == (DAY, "again", {"n": [0.1, 1e-300]})
    assert left == kept
    assert others == (DAY, "hash", {"day": 5})
    assert elsewhere == [5, 3, 1]


def test_another_engine_or_exercise_has_estimates_of_its_own(database: Database) -> None:
    def work(tx: Transaction) -> Any:
        store = club(tx)
        store.save_checkpoint("mirela", "pull_up", DAY, "1", "hash", {})
        return [
            store.checkpoint("mirela", exercise, later(days=1).date(), engine) is not None
            for exercise, engine in (("pull_up", "1"), ("pull_up", "2"), ("dip", "1"))
        ]

    assert database.run_now(work) == [True, False, False]


# --- pain holds back -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("before", "after", "waits"),
    [
        (None, Pain("elbow", 4), False),
        (Pain("elbow", 2), Pain("elbow", 4), False),
        (Pain("elbow", 4), Pain("elbow", 4), True),
        (None, None, True),
    ],
    ids=str,
)
def test_new_pain_cancels_a_session_that_waits(
    database: Database, before: Pain | None, after: Pain | None, waits: bool
) -> None:
    def work(tx: Transaction) -> list[tuple[bool, str]]:
        store = club(tx, members=("mirela", "tobin"))
        store.apply([DayBecomes("mirela", DAY, DayRecord(pain=before))], "mirela", "test", NOW)
        for member in ("mirela", "tobin"):
            store.post([Say(ToMember(member), (), prescribes=True), Say(ToMember(member), ())], "test", NOW)
        store.apply([DayBecomes("mirela", DAY, DayRecord(pain=after))], "mirela", "test", NOW)
        rows = tx.connection.exec_driver_sql("SELECT member_id, prescribes, state FROM outbox ORDER BY id").all()
        return [(row.member_id == "mirela" and bool(row.prescribes), row.state) for row in rows]

    rows = database.run_now(work)
    assert [state for hers, state in rows if hers] == ["waiting" if waits else "dropped"]
    assert {state for hers, state in rows if not hers} == {"waiting"}
