"""Arrivals are kept once, with the cursor or not at all, and claimed by conversation in the order written."""

import threading
from dataclasses import replace

import pytest
from sqlalchemy.exc import StatementError

from bot.messengers import Arrival, Batch
from bot.storage import Database, Transaction, chat_of, key_of
from tests.bot.storage.clubs import NOW, batch, envelope

KEY = key_of("telegram", "quay-mirela")


def drained(database: Database, key: str = KEY) -> list[str]:
    """Everything that waits, one transaction a message."""
    found: list[str] = []

    def one(tx: Transaction) -> bool:
        waiting = tx.claim(key)
        if waiting is None:
            return False
        found.append(waiting.envelope.message)
        tx.handled(waiting.id)
        return True

    while database.run_now(one):
        pass
    return found


def test_an_arrival_comes_back_as_it_came(database: Database) -> None:
    odd = "\0 \x1a \ud800 \U0001f4aa ‮"
    sent = envelope("7", text=odd, revision=3, foreign=True, replies_to="5", thread="t", language="de", raw=odd)
    database.run_now(lambda tx: tx.receive(batch(sent), NOW))
    waiting = database.run_now(lambda tx: tx.claim(KEY))
    assert waiting is not None
    assert waiting.envelope == sent


def test_redelivery_gives_one_row(database: Database) -> None:
    arrivals = batch("1", "2", envelope("1", revision=1), envelope("1", kind=Arrival.DELETED))
    assert database.run_now(lambda tx: tx.receive(arrivals, NOW)) == (KEY,)
    for _ in range(2):
        assert database.run_now(lambda tx: tx.receive(arrivals, NOW)) == ()
    assert len(drained(database)) == 4
    assert database.run_now(lambda tx: tx.receive(arrivals, NOW)) == ()
    assert drained(database) == []


def test_arrivals_and_cursor_are_kept_together_or_not_at_all(database: Database) -> None:
    database.run_now(lambda tx: tx.receive(batch("1", cursor="10"), NOW))

    def broken(tx: Transaction) -> None:
        tx.receive(batch("2", "3", cursor="11"), NOW)
        raise KeyError("power cut")

    with pytest.raises(KeyError):
        database.run_now(broken)
    unfit = replace(envelope("5"), text=float("inf"))  # type: ignore[arg-type]
    with pytest.raises((StatementError, ValueError), match="Out of range"):
        database.run_now(lambda tx: tx.receive(batch("4", unfit), NOW))
    assert database.run_now(lambda tx: tx.cursor("telegram")) == "10"
    assert drained(database) == ["1"]


def test_cursors_belong_to_a_messenger(database: Database) -> None:
    database.run_now(lambda tx: tx.receive(Batch("matrix", (), "s1"), NOW))
    assert database.run_now(lambda tx: tx.cursor("telegram")) is None
    database.run_now(lambda tx: tx.receive(Batch("matrix", (), None), NOW))
    assert database.run_now(lambda tx: tx.cursor("matrix")) == "s1"


def test_messages_are_claimed_as_they_were_written(database: Database) -> None:
    for message in ("30", "10", "20"):
        database.run_now(lambda tx, message=message: tx.receive(batch(message), NOW))
    edit = envelope("10", revision=5)
    database.run_now(lambda tx: tx.receive(batch(edit), NOW))
    assert drained(database) == ["10", "10", "20", "30"]


def test_what_was_said_is_not_kept_in_the_inbox(database: Database) -> None:
    secret = "a yes to question five"
    database.run_now(lambda tx: tx.receive(batch(envelope("1", text=secret)), NOW))
    drained(database)
    rows = database.run_now(lambda tx: tx.connection.exec_driver_sql("SELECT * FROM inbox").all())
    assert len(rows) == 1
    assert secret not in repr(rows)


def test_the_third_failure_sets_aside(database: Database) -> None:
    database.run_now(lambda tx: tx.receive(batch("1", "2"), NOW))

    def fail(tx: Transaction) -> bool:
        waiting = tx.claim(KEY)
        assert waiting is not None
        assert waiting.envelope.message == "1"
        return tx.failed(waiting, "boom")

    assert [database.run_now(fail) for _ in range(3)] == [False, False, True]
    assert drained(database) == ["2"]
    (aside,) = database.run_now(lambda tx: tx.set_aside())
    assert (aside.envelope, aside.why) == (envelope("1"), "boom")


def test_unreadable_is_kept_and_set_aside_and_wakes_nobody(database: Database) -> None:
    broken = envelope("1", kind=Arrival.UNREADABLE, raw="{")
    assert database.run_now(lambda tx: tx.receive(batch(broken, cursor="2"), NOW)) == ()
    assert drained(database) == []
    assert [one.envelope for one in database.run_now(lambda tx: tx.set_aside())] == [broken]


def test_a_savepoint_undoes_a_decision_but_not_its_failure(database: Database) -> None:
    database.run_now(lambda tx: tx.receive(batch("1"), NOW))

    def half(tx: Transaction) -> None:
        waiting = tx.claim(KEY)
        assert waiting is not None
        savepoint = tx.savepoint()
        tx.set_cursor("telegram", "half done")
        savepoint.rollback()
        tx.failed(waiting, "boom")

    database.run_now(half)
    assert database.run_now(lambda tx: tx.cursor("telegram")) is None
    waiting = database.run_now(lambda tx: tx.claim(KEY))
    assert waiting is not None
    assert waiting.failures == 1


def test_waiting_conversations_come_longest_first_and_end(database: Database) -> None:
    for number, chat in enumerate(("b", "a", "c"), start=1):
        arrival = batch(envelope(str(number), chat=chat))
        database.run_now(lambda tx, arrival=arrival, number=number: tx.receive(arrival, NOW.replace(minute=number)))
    database.run_now(lambda tx: tx.receive(batch(envelope("9", chat="b")), NOW.replace(minute=9)))
    keys = database.run_now(lambda tx: tx.waiting())
    assert [chat_of(key)[1] for key in keys] == ["b", "a", "c"]
    drained(database, keys[0])
    assert database.run_now(lambda tx: tx.waiting(limit=1)) == (keys[1],)


def test_four_workers_keep_the_order_of_every_conversation(database: Database) -> None:
    """Each transaction takes a while between claiming and handling, so that workers would overtake if they could."""
    chats, messages = 4, 25
    for number in range(1, messages + 1):
        arrivals = [envelope(str(number), chat=f"chat {chat}") for chat in range(chats)]
        database.run_now(lambda tx, arrivals=arrivals: tx.receive(batch(*arrivals), NOW))
    done: dict[str, list[int]] = {key_of("telegram", f"chat {chat}"): [] for chat in range(chats)}
    failures: list[BaseException] = []

    def one(tx: Transaction, key: str) -> None:
        for _ in range(2):
            waiting = tx.claim(key)
            if waiting is None:
                return
            done[key].append(int(waiting.envelope.message))
            tx.connection.exec_driver_sql("SELECT 1" if database.is_sqlite else "SELECT pg_sleep(0.001)")
            tx.handled(waiting.id)

    def work() -> None:
        try:
            while keys := database.run_now(lambda tx: tx.waiting(), write=False):
                for key in keys:
                    database.run_now(lambda tx, key=key: one(tx, key))
        except BaseException as error:
            failures.append(error)

    workers = [threading.Thread(target=work) for _ in range(4)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert failures == []
    for order in done.values():
        assert order == list(range(1, messages + 1))


def test_a_claimed_conversation_is_passed_over_on_postgresql(postgres_url: str) -> None:
    """The check that order rests on: while one worker holds a conversation, another gets nothing of it."""
    database = Database(postgres_url).open()
    database.run_now(lambda tx: tx.receive(batch("1", "2", envelope("3", chat="other")), NOW))

    def outer(tx: Transaction) -> None:
        first = tx.claim(KEY)
        assert first is not None
        assert database.run_now(lambda other: other.claim(KEY)) is None
        assert database.run_now(lambda other: other.claim(key_of("telegram", "other"))) is not None
        tx.handled(first.id)

    database.run_now(outer)
    assert drained(database) == ["2"]
    database.close()
