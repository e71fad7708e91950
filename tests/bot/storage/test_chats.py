"""Chats, seats and invites: who speaks, who hears, who gets in."""

import threading
from typing import Any

import pytest

from bot.storage import Database, InviteRow, Owner, Transaction
from core.club import Revoked
from core.phrases import phrase
from core.problems import BadInput
from core.speech import Say, ToGroup, ToMember
from core.training import Athlete
from tests.bot.storage.clubs import NOW, batch, club, coach, envelope, later

MIRELA = Owner("quay", "mirela")


def test_a_chat_belongs_to_whoever_joined_it(database: Database) -> None:
    def work(tx: Transaction) -> list[Any]:
        club(tx)
        senders = (None, "user-mirela", "user-else")
        known = [tx.whose("telegram", "quay-mirela", sender) for sender in senders]
        return [*known, tx.whose("telegram", "elsewhere"), tx.whose("matrix", "quay-mirela")]

    assert database.run_now(work) == [MIRELA, MIRELA, None, None, None]


def test_in_a_group_the_sender_tells_who_speaks(database: Database) -> None:
    def work(tx: Transaction) -> Any:
        store = club(tx, members=("mirela", "tobin"))
        club(tx, "shore", ("mirela",))
        store.open_chat(None, "telegram", "group", "", NOW)
        accounts = ("user-tobin", "user-nobody")
        return tx.whose("telegram", "group", "user-nobody"), [tx.who("quay", "telegram", one) for one in accounts]

    assert database.run_now(work) == (Owner("quay", None), [("tobin",), ()])


def test_a_closed_chat_hears_nothing_and_opens_again_by_writing(database: Database) -> None:
    def work(tx: Transaction) -> list[Any]:
        store = club(tx)
        closed = [tx.close_chat("telegram", "quay-mirela") for _ in range(2)]
        while_closed = (store.chats("mirela"), store.post([Say(ToMember("mirela"), ())], "x", NOW))
        owner = tx.whose("telegram", "quay-mirela", "user-mirela")
        tx.heard_from("telegram", "quay-mirela", NOW)
        return [closed, while_closed, owner, store.chats("mirela")]

    assert database.run_now(work) == [[MIRELA, None], ((), 0), MIRELA, (("telegram", "quay-mirela"),)]


def test_answers_go_to_the_chat_that_was_used_last(database: Database) -> None:
    def work(tx: Transaction) -> list[Any]:
        store = club(tx)
        store.open_chat("mirela", "matrix", "!room", "@mirela", later(minutes=1))
        first = store.chats("mirela")[0]
        tx.heard_from("telegram", "quay-mirela", later(minutes=2))
        store.post([Say(ToMember("mirela"), (phrase("x"),))], "x", NOW)
        rows = tx.connection.exec_driver_sql("SELECT messenger FROM outbox").scalars().all()
        return [first, store.chats("mirela")[0], list(rows)]

    assert database.run_now(work) == [("matrix", "!room"), ("telegram", "quay-mirela"), ["telegram"]]


def test_one_person_with_two_memberships_in_one_chat(database: Database) -> None:
    """A coach who trains, who is in a second club too: all are heard there, one speaks."""

    def work(tx: Transaction) -> list[Any]:
        quay, shore = club(tx, members=()), club(tx, "shore", ())
        coach(quay)
        quay.add_member(Athlete("okko-trains", "Okko"), now=NOW)
        shore.add_member(Athlete("okko", "Okko"), now=NOW)
        here = ("telegram", "quay-okko")
        quay.open_chat("okko-trains", *here, "user-okko", NOW)
        shore.open_chat("okko", *here, "user-okko", NOW)
        speaks = tx.whose(*here, "user-okko")
        switched = tx.speak_as(*here, Owner("quay", "okko"))
        refused = tx.speak_as(*here, Owner("shore", "stranger"))
        heard = [quay.chats("okko"), quay.chats("okko-trains"), shore.chats("okko")]
        return [speaks, tx.seats(*here), switched, refused, tx.whose(*here), heard == [(here,)] * 3]

    assert database.run_now(work) == [
        Owner("shore", "okko"),
        (Owner("quay", "okko"), Owner("quay", "okko-trains"), Owner("shore", "okko")),
        True,
        False,
        Owner("quay", "okko"),
        True,
    ]


def test_a_group_belongs_to_one_club(database: Database) -> None:
    def work(tx: Transaction) -> list[Any]:
        quay, shore = club(tx), club(tx, "shore")
        tried = [store.open_chat(None, "telegram", "group", "", NOW) for store in (quay, shore, quay)]
        tx.close_chat("telegram", "group")
        return [tried, shore.open_chat(None, "telegram", "group", "", NOW), quay.chats(None), shore.chats(None)]

    assert database.run_now(work) == [[True, False, True], True, (), (("telegram", "group"),)]


def test_a_group_moves_with_all_that_waits_for_it(database: Database) -> None:
    """What was written at the old address before the move still finds its club."""

    def work(tx: Transaction) -> list[Any]:
        store = club(tx)
        store.open_chat(None, "telegram", "old", "", NOW)
        tx.receive(batch(envelope("1", chat="old")), NOW)
        store.post([Say(ToGroup(), ())], "x", NOW)
        tx.move_chat("telegram", "old", "new")
        tx.move_chat("telegram", "new", "newest")
        waits = tx.connection.exec_driver_sql("SELECT chat FROM outbox").scalars().all()
        owners = [tx.whose("telegram", chat) for chat in ("old", "new", "newest")]
        return [owners, store.chats(None), list(waits)]

    assert database.run_now(work) == [[Owner("quay", None)] * 3, (("telegram", "newest"),), ["newest"]]


def test_whoever_is_cut_off_neither_speaks_nor_hears(database: Database) -> None:
    def work(tx: Transaction) -> list[Any]:
        store = club(tx, members=("mirela", "tobin"))
        store.open_chat("tobin", "telegram", "quay-mirela", "user-mirela", NOW)
        store.invite("open", "mirela", NOW, later(days=1))
        cut = store.cut_off("mirela"), len(tx.seats("telegram", "quay-mirela"))
        heard = store.chats("tobin")
        store.apply([Revoked("tobin")], "okko", "x", NOW)
        left = [tx.whose("telegram", f"quay-{one}") for one in ("mirela", "tobin")]
        invited = tx.use_invite("open", "telegram", "x", "x", NOW)
        member = store.member("mirela")
        return [cut, set(heard), left, invited, member is not None and member.joined]

    both = {("telegram", "quay-mirela"), ("telegram", "quay-tobin")}
    assert database.run_now(work) == [(1, 1), both, [None, None], None, None]


# --- invites -------------------------------------------------------------------------------------------------


def test_an_invite_works_once(database: Database) -> None:
    def work(tx: Transaction) -> list[Any]:
        store = club(tx)
        store.invite("hash", "mirela", NOW, later(hours=48))
        used = [tx.use_invite("hash", "telegram", f"chat {n}", f"u{n}", later(hours=1), "Mira M.") for n in range(2)]
        return [used, tx.whose("telegram", "chat 0", "u0"), tx.whose("telegram", "chat 1"), store.invites()]

    row = InviteRow("mirela", later(hours=48), later(hours=1), False, "Mira M.")
    assert database.run_now(work) == [[MIRELA, None], MIRELA, None, (row,)]


@pytest.mark.parametrize("why", ["unknown", "late", "revoked", "replaced"])
def test_an_invite_that_does_not_work(database: Database, why: str) -> None:
    def work(tx: Transaction) -> Any:
        store = club(tx)
        store.invite("hash", "mirela", NOW, later(hours=48))
        if why == "revoked":
            assert store.revoke_invites("mirela") == 1
        if why == "replaced":
            store.invite("newer", "mirela", NOW, later(hours=48))
        now = later(hours=48) if why == "late" else NOW
        return tx.use_invite("other" if why == "unknown" else "hash", "telegram", "chat", "user", now)

    assert database.run_now(work) is None


def test_of_many_who_race_with_one_code_one_gets_in(database: Database) -> None:
    def prepare(tx: Transaction) -> None:
        club(tx).invite("hash", "mirela", NOW, later(hours=48))

    database.run_now(prepare)
    start, joined = threading.Barrier(6), []

    def race(number: int) -> None:
        start.wait()
        owner = database.run_now(lambda tx: tx.use_invite("hash", "telegram", f"chat {number}", f"u{number}", NOW))
        joined.append(owner)

    racers = [threading.Thread(target=race, args=(number,)) for number in range(6)]
    for racer in racers:
        racer.start()
    for racer in racers:
        racer.join()
    assert sorted(joined, key=str) == [None] * 5 + [MIRELA]
    seats = database.run_now(lambda tx: [tx.seats("telegram", f"chat {number}") for number in range(6)])
    assert sorted(map(len, seats)) == [0] * 5 + [1]


def test_strangers_are_counted_and_answered_once(database: Database) -> None:
    counted = [database.run_now(lambda tx, bad=bad: tx.stranger("telegram", "9", bad)) for bad in (False, True, True)]
    assert counted == [(0, True), (1, False), (2, False)]


def test_clubs_are_told_apart_by_name(database: Database) -> None:
    database.run_now(club)
    database.run_now(lambda tx: tx.create_club("quay", "Quay again", "UTC", NOW))
    with pytest.raises(BadInput, match="is the name of another club here; choose another name"):
        database.run_now(lambda tx: tx.create_club("other", "Club quay", "UTC", NOW))
    assert database.run_now(lambda tx: tx.clubs()) == {"quay": "Club quay"}
