"""What the clock owes: once a kind and local date, to one caller, again after a failure."""

import threading
from datetime import date, datetime
from typing import Any

import pytest

from bot.storage import Database, DueRow, Transaction
from core.club import Due, DueKind, Planned, Unplanned
from tests.bot.storage.clubs import DAY, NOW, club, later


def planned(kind: DueKind = DueKind.SESSION, day: date = DAY, due: datetime = NOW) -> Planned:
    return Planned("mirela", kind, day, due)


def test_due_rows_are_claimed_once_and_the_longest_first(database: Database) -> None:
    def work(tx: Transaction) -> list[Any]:
        store = club(tx)
        late = planned(DueKind.MORNING, due=later(minutes=-5))
        store.apply([planned(), late, planned(DueKind.NUDGE, due=later(minutes=1))], "x", "x", NOW)
        return [tx.next_due(), tx.claim_due(NOW, limit=1), tx.claim_due(NOW), tx.claim_due(NOW), tx.next_due()]

    rows = [DueRow("quay", "mirela", kind, DAY.isoformat()) for kind in ("morning", "session")]
    assert database.run_now(work) == [later(minutes=-5), (rows[0],), (rows[1],), (), later(minutes=1)]


def test_an_unclaimed_plan_moves_and_a_claimed_one_stays_claimed(database: Database) -> None:
    def work(tx: Transaction) -> list[Any]:
        store = club(tx)
        store.apply([planned(due=later(hours=1)), planned(due=later(hours=2))], "x", "x", NOW)
        moved = store.planned("mirela")
        claimed = tx.claim_due(later(hours=2))
        store.apply([planned(due=later(hours=3))], "x", "x", NOW)
        store.apply([Unplanned("mirela", DueKind.SESSION, DAY)], "x", "x", NOW)
        store.apply([planned(due=later(hours=4))], "x", "x", NOW)
        return [moved, len(claimed), tx.claim_due(later(days=9))]

    assert database.run_now(work) == [{("session", DAY): later(hours=2)}, 1, ()]


def test_a_timer_starts_again_with_the_next_set(database: Database) -> None:
    """The end of a session, or of a rest, is due again after later sets of the same day; a repeated plan is not."""

    def work(tx: Transaction) -> list[int]:
        store, counts = club(tx), []
        for due in (1, 1, 2):
            store.apply([planned(DueKind.CLOSE, due=later(hours=due))], "x", "x", NOW)
            counts.append(len(tx.claim_due(later(hours=due))))
        return counts

    assert database.run_now(work) == [1, 0, 1]


def test_a_plan_takes_the_place_of_what_was_planned_from_a_day_on(database: Database) -> None:
    days = [DAY.replace(day=day) for day in (5, 7, 9, 12)]

    def work(tx: Transaction) -> Any:
        store = club(tx)
        store.plan("mirela", "session", {day: later(days=day.day) for day in days[:3]}, days[0])
        store.plan("mirela", "digest", {days[0]: NOW}, days[0])
        store.plan("mirela", "session", {days[2]: later(hours=1), days[3]: later(hours=2)}, days[1])
        return store.planned("mirela")

    assert database.run_now(work) == {
        ("session", days[0]): later(days=5),
        ("digest", days[0]): NOW,
        ("session", days[2]): later(hours=1),
        ("session", days[3]): later(hours=2),
    }


def test_a_failure_is_tried_again_and_set_aside_at_the_third(database: Database) -> None:
    def work(tx: Transaction) -> list[Any]:
        store = club(tx)
        store.apply([planned()], "x", "x", NOW)
        aside = []
        for minute in range(3):
            (row,) = tx.claim_due(later(minutes=minute))
            aside.append(tx.due_failed(row, "boom", later(minutes=minute + 1)))
            aside.append(tx.claim_due(later(minutes=minute)))
        return [aside, tx.claim_due(later(days=9)), tx.next_due()]

    assert database.run_now(work) == [[False, (), False, (), True, ()], (), None]


def test_a_claim_that_is_not_committed_is_owed_still(database: Database) -> None:
    database.run_now(lambda tx: club(tx).apply([planned()], "x", "x", NOW))
    with pytest.raises(ZeroDivisionError):
        database.run_now(lambda tx: tx.claim_due(NOW) and 1 // 0)
    assert len(database.run_now(lambda tx: tx.claim_due(NOW))) == 1


def test_four_workers_claim_each_once(database: Database) -> None:
    many = 200

    def prepare(tx: Transaction) -> None:
        store = club(tx)
        days = {date.fromordinal(DAY.toordinal() + step): NOW for step in range(many)}
        store.plan("mirela", "session", days, DAY)

    database.run_now(prepare)
    claimed: list[DueRow] = []

    def work() -> None:
        while rows := database.run_now(lambda tx: tx.claim_due(NOW, limit=7)):
            claimed.extend(rows)

    workers = [threading.Thread(target=work) for _ in range(4)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert len(claimed) == len(set(claimed)) == many


def test_a_row_is_an_event_of_the_core() -> None:
    row = DueRow("quay", "mirela", "morning", "2026-10-05")
    assert Due(row.member, DueKind(row.kind), date.fromisoformat(row.day)) == Due("mirela", DueKind.MORNING, DAY)
