"""What is said becomes rows: who hears it where, cards, and phrases that come back as they went."""

import json
from datetime import UTC, date, datetime, time, timedelta, timezone
from typing import Any

import sqlalchemy as sa
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.storage import Database, Transaction
from bot.storage.tables import metadata
from bot.storage.values import button_from_json, button_to_json, phrase_from_json, phrase_to_json
from core.phrases import Mass, Phrase, phrase
from core.speech import Button, Lane, React, Say, ToCoaches, ToGroup, ToMember
from tests.bot.storage.clubs import NOW, club, coach, later

OUTBOX = metadata.tables["outbox"]

zones = st.sampled_from((UTC, timezone(timedelta(hours=5, minutes=45)), timezone(-timedelta(hours=9, minutes=30))))
plain: st.SearchStrategy[Any] = st.one_of(
    st.integers(), st.floats(allow_nan=False, allow_infinity=False), st.text(), st.builds(Mass, st.integers()),
    st.dates(), st.times(), st.datetimes(timezones=st.none() | zones), st.booleans(),
)  # fmt: skip
names = st.text(max_size=5)


def phrases(values: st.SearchStrategy[Any]) -> st.SearchStrategy[Phrase]:
    pairs = st.lists(st.tuples(names, values), max_size=3, unique_by=lambda pair: pair[0])
    return st.builds(Phrase, names, pairs.map(tuple))


anything: st.SearchStrategy[Any] = st.recursive(
    plain, lambda inner: st.lists(inner, max_size=3).map(tuple) | phrases(inner), max_leaves=8
)


@settings(max_examples=200, deadline=None)
@given(phrases(anything))
def test_a_phrase_comes_back_as_it_went(said: Phrase) -> None:
    """Through real JSON text, with the order of its values."""
    assert phrase_from_json(json.loads(json.dumps(phrase_to_json(said)))) == said


def test_kinds_that_look_alike_are_told_apart() -> None:
    values = (1, 1.0, True, "1", Mass(1), date(1, 1, 1), datetime(1, 1, 1), time(1), phrase("x"), (), ((),))
    back = phrase_from_json(phrase_to_json(values))
    assert back == values
    assert isinstance(back, tuple)
    assert [type(one) for one in back] == [type(one) for one in values]


def test_a_button_comes_back_as_it_went() -> None:
    button = Button(phrase("yes", mass=Mass(5)), "q1", 0)
    assert button_from_json(button_to_json(button)) == button


# --- rows ----------------------------------------------------------------------------------------------------

COLUMNS = "member_id, chat, verb, lane, state, slot, silent"


def outbox(tx: Transaction, columns: str = COLUMNS) -> list[tuple[Any, ...]]:
    return [tuple(row) for row in tx.connection.exec_driver_sql(f"SELECT {columns} FROM outbox ORDER BY id")]


def test_each_audience_hears_where_it_is(database: Database) -> None:
    def work(tx: Transaction) -> Any:
        store = club(tx, members=("mirela", "tobin"))
        club(tx, "shore")
        coach(store)
        coach(store, "vesna")
        store.open_chat(None, "telegram", "group", "", NOW)
        lines = (phrase("x"),)
        speech = [Say(ToMember("mirela"), lines), Say(ToCoaches(), lines), Say(ToGroup(), lines)]
        count = store.post([*speech, Say(ToMember("nobody"), lines)], "x", NOW)
        return count, outbox(tx, "member_id, chat")

    hearers = [("mirela", "quay-mirela"), ("okko", "quay-okko"), ("vesna", "quay-vesna"), (None, "group")]
    assert database.run_now(work) == (4, hearers)


def test_a_row_keeps_all_that_was_said(database: Database) -> None:
    said = Say(
        ToMember("mirela"),
        (phrase("now", mass=Mass(7500), odd="\0\ud800"),),
        (Button(phrase("yes"), "q", 0),),
        Lane.BROADCAST,
        "card",
        True,
        {"kind": "hang", "values": [1, 2.5, None]},
        later(hours=1),
        later(hours=2),
        True,
    )

    def work(tx: Transaction) -> Any:
        club(tx).post([said], "cause", NOW, "mirela")
        return tx.connection.execute(sa.select(OUTBOX)).mappings().one()

    row = database.run_now(work)
    assert tuple(phrase_from_json(one) for one in row["lines"]) == said.lines
    assert tuple(button_from_json(one) for one in row["buttons"]) == said.buttons
    kept = [row[name] for name in ("picture", "lane", "slot", "silent", "prescribes", "cause", "about_id", "words")]
    assert kept == [said.picture, "broadcast", "card", True, True, "cause", "mirela", None]
    assert row["worthless_ms"] - row["due_ms"] == 3_600_000


def test_a_card_that_waits_is_written_anew_and_keeps_its_turn_and_its_ring(database: Database) -> None:
    def work(tx: Transaction) -> Any:
        store = club(tx)
        card = [Say(ToMember("mirela"), (phrase(f"n{n}"),), slot="card", silent=n > 0) for n in range(3)]
        store.post([card[0], Say(ToMember("mirela"), (phrase("other"),)), card[1], card[2]], "x", NOW)
        store.post([Say(ToMember("mirela"), (phrase("y"),), slot="another")], "x", NOW)
        return outbox(tx, "slot, silent, lines"), outbox(tx, "verb, state")

    rows, states = database.run_now(work)
    assert [(slot, bool(silent)) for slot, silent, _ in rows] == [("card", False), (None, False), ("another", False)]
    assert "n2" in str(rows[0][2])
    assert states == [("message", "waiting")] * 3


def test_a_card_that_was_sent_is_edited(database: Database) -> None:
    def work(tx: Transaction) -> Any:
        store = club(tx, members=("mirela", "tobin"))
        store.post([Say(ToMember("mirela"), (), slot="card")], "x", NOW)
        tx.connection.exec_driver_sql("UPDATE outbox SET state = 'sent', remote = '77'")
        store.post([Say(ToMember("mirela"), (), slot="card"), Say(ToMember("tobin"), (), slot="card")], "x", NOW)
        return outbox(tx, "member_id, verb, state")

    assert database.run_now(work) == [
        ("mirela", "message", "sent"),
        ("mirela", "edit", "waiting"),
        ("tobin", "message", "waiting"),
    ]


def test_a_mark_goes_to_its_message_and_to_no_chat_of_another_club(database: Database) -> None:
    def work(tx: Transaction) -> Any:
        store = club(tx)
        club(tx, "shore")
        marks = [React("mirela", f"telegram {chat} 7") for chat in ("quay-mirela", "shore-mirela", "nowhere")]
        return store.post(marks, "x", NOW), outbox(tx, "verb, chat, target")

    assert database.run_now(work) == (1, [("reaction", "quay-mirela", "7")])


@settings(max_examples=15, deadline=None, suppress_health_check=list(HealthCheck))
@given(said=phrases(anything))
def test_a_phrase_survives_the_database(database: Database, said: Phrase) -> None:
    def work(tx: Transaction) -> Any:
        store = club(tx)
        tx.connection.exec_driver_sql("DELETE FROM outbox")
        store.post([Say(ToMember("mirela"), (said,))], "x", NOW)
        return tx.connection.execute(sa.select(OUTBOX.c.lines)).scalar_one()

    assert [phrase_from_json(one) for one in database.run_now(work)] == [said]
