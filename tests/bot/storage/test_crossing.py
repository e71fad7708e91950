"""One club can neither be read nor written through another's store: every public method of `Store`, by its name.

Both clubs have a member of the same id with a full record. A method is called on the other club's store with the id
that both share, with one that only the first club has, and with nobody's; the first club must look as before, and
nothing of it may be in the answer.
"""

import inspect
from collections.abc import Callable
from datetime import date
from typing import Any, get_args

import pytest
from sqlalchemy.exc import IntegrityError

from bot.storage import Database, Store, Transaction
from bot.storage.tables import metadata
from core.club import (
    Asked,
    Change,
    Closed,
    DayBecomes,
    DayRecord,
    DueKind,
    Heard,
    KitBecomes,
    Lifted,
    Ordered,
    Planned,
    Prescribed,
    ProfileBecomes,
    Question,
    Revoked,
    Role,
    Told,
    Unplanned,
)
from core.files import AthleteFile
from core.orders import Order, OrderKind
from core.phrases import phrase
from core.problems import BadInput
from core.speech import React, Say, ToCoaches, ToGroup, ToMember
from core.training import BodyMass, Pain, PrescribedSet, Session, Set
from tests.bot.storage.clubs import DAY, NOW, athlete, batch, club, coach, entry, envelope, later
from tests.bot.storage.picture import Rows, of_club, rows_of

SECRET = "heron"  # stands in every text that the first club keeps
WORDS = (SECRET, "quiet")
ORDER = Order(DAY, "coach", OrderKind.NOTE, text=SECRET)
OTHER_ORDER = Order(DAY, "coach", OrderKind.NOTE, text="quiet")


def record(store: Store, word: str) -> None:
    """A full record of two members, `both` and one of the club's own; `word` is in all of it."""
    for member in ("both", f"only-{store.club_id}"):
        store.add_member(athlete(member, f"{word} {member}"), now=NOW)
        store.open_chat(member, "telegram", f"{store.club_id} {member}", f"{store.club_id} user {member}", NOW)
        order = Order(DAY, "coach", OrderKind.NOTE, text=word)
        question = Question("q", "pain", NOW, later(days=1), DAY, word)
        store.apply(
            [
                Heard(member, entry("1", text=word)),
                DayBecomes(member, DAY, DayRecord((Set(5, bands=(word,)),), pain=Pain(word, 3), mass_g=70_000)),
                Prescribed(member, DAY, (PrescribedSet(5, bands=(word,)),), {"why": word}),
                Asked(member, question),
                Ordered(member, order),
                KitBecomes(member, DAY, {"label": word}),
                Told(member, word),
                Planned(member, DueKind.SESSION, DAY, NOW),
            ],
            member,
            word,
            NOW,
        )
        store.save_checkpoint(member, "pull_up", DAY, "1", word, {"of": word})
        store.consent(member, word, NOW)
        store.invite(f"{store.club_id} {member} {word}", member, NOW, later(days=2))
        store.post([Say(ToMember(member), (phrase(word),), slot="card")], word, NOW, member)
        store.show_as(member, word)
    coach(store, "coach")
    store.open_chat(None, "telegram", f"{store.club_id} group", "", NOW)
    store.post([Say(ToGroup(), (phrase(word),))], word, NOW)
    store.set_setting("name", word)


def changes_of(member: str) -> list[Any]:
    return [
        Heard(member, entry("1", text="quiet")),
        DayBecomes(member, DAY, DayRecord((Set(1),), pain=Pain("knee", 1), mass_g=1)),
        Prescribed(member, DAY, (), {}),
        Asked(member, Question("q", "pain", NOW, NOW, DAY)),
        Closed(member, "q"),
        Ordered(member, OTHER_ORDER),
        Lifted(member, ORDER, DAY),
        ProfileBecomes(member, athlete(member, "quiet")),
        KitBecomes(member, DAY, {}),
        Told(member, "quiet"),
        Planned(member, DueKind.SESSION, DAY, later(days=1)),
        Unplanned(member, DueKind.SESSION, DAY),
        Revoked(member),
    ]


def a_file(member: str) -> AthleteFile:
    session = Session("s", DAY, (Set(1),))
    return AthleteFile(athlete(member, "quiet"), DAY, (), (BodyMass(DAY, 1),), (session,), (OTHER_ORDER,))


Case = Callable[[Store, str], Any]
CASES: dict[str, list[Case]] = {
    # what is read
    "roster": [lambda store, member: store.roster()],
    "member": [lambda store, member: store.member(member)],
    "members_called": [lambda store, member: store.members_called(f"{SECRET} {member}")],
    "log": [lambda store, member: store.log(member)],
    "advice": [lambda store, member: store.advice(member, DAY)],
    "audit": [lambda store, member: store.audit()],
    "chats": [lambda store, member: store.chats(member), lambda store, member: store.chats(None)],
    "invites": [lambda store, member: store.invites()],
    "consents": [lambda store, member: store.consents(member)],
    "setting": [lambda store, member: store.setting("name")],
    "checkpoint": [lambda store, member: store.checkpoint(member, "pull_up", date.max, "1")],
    "planned": [lambda store, member: store.planned(member)],
    "athlete_file": [lambda store, member: store.athlete_file(member, DAY)],
    # what is written
    "apply": [lambda store, member, n=n: store.apply([changes_of(member)[n]], "x", "x", NOW) for n in range(13)],
    "note": [lambda store, member: store.note("x", member, "x", "x", NOW)],
    "post": [
        lambda store, member: store.post([Say(ToMember(member), (), slot="card")], "x", NOW, member),
        lambda store, member: store.post([Say(ToCoaches(), ())], "x", NOW),
        lambda store, member: store.post([Say(ToGroup(), ())], "x", NOW),
        lambda store, member: store.post([React(member, "telegram quay-both 1")], "x", NOW),
    ],
    "erase": [lambda store, member: store.erase(member, "x", NOW)],
    "add_member": [lambda store, member: store.add_member(athlete(member, "quiet"), Role.COACH, now=NOW)],
    "show_as": [lambda store, member: store.show_as(member, "new")],
    "open_chat": [
        lambda store, member: store.open_chat(None, "telegram", "quay group", "", NOW),
        lambda store, member: store.open_chat(member, "telegram", "new", "new user", NOW),
    ],
    "cut_off": [lambda store, member: store.cut_off(member)],
    "invite": [lambda store, member: store.invite("new", member, NOW, later(days=1))],
    "revoke_invites": [lambda store, member: store.revoke_invites(member)],
    "consent": [lambda store, member: store.consent(member, "x", NOW)],
    "withdraw_consent": [lambda store, member, what=what: store.withdraw_consent(member, what, NOW) for what in WORDS],
    "set_setting": [lambda store, member: store.set_setting("name", "new")],
    "save_checkpoint": [lambda store, member: store.save_checkpoint(member, "pull_up", DAY, "1", "x", {})],
    "forget_checkpoints": [lambda store, member: store.forget_checkpoints(member, date.min)],
    "plan": [lambda store, member: store.plan(member, "session", {}, date.min)],
    "put_file": [lambda store, member: store.put_file(member, a_file(member), NOW)],
}


READING = {
    "roster", "member", "members_called", "log", "advice", "audit", "chats", "invites", "consents", "setting",
    "checkpoint", "planned", "athlete_file",
}  # fmt: skip


def public(of: type) -> set[str]:
    return {name for name, _ in inspect.getmembers(of, inspect.isfunction) if not name.startswith("_")}


def test_every_method_has_a_case() -> None:
    assert set(CASES) == public(Store)


def test_every_kind_of_change_has_a_case() -> None:
    assert {type(one) for one in changes_of("both")} == set(get_args(Change))
    assert len(CASES["apply"]) == len(changes_of("both"))


def test_the_check_would_notice_a_method_without_a_case() -> None:
    class Wider(Store):
        def leak(self) -> None: ...

    assert public(Wider) - set(CASES) == {"leak"}


class Undone(Exception):
    """Carries what a step showed out of its transaction, which is rolled back."""


def seen_after(database: Database, case: Case, member: str) -> tuple[Any, Rows]:
    """What a method answers on the other club's store, and every row afterwards; then all is undone."""

    def step(tx: Transaction) -> None:
        savepoint = tx.savepoint()
        try:
            answer = case(tx.club("shore"), member)
        except (KeyError, IntegrityError, BadInput) as refusal:
            savepoint.rollback()
            answer = type(refusal)
        raise Undone(answer, rows_of(tx))

    with pytest.raises(Undone) as undone:
        database.run_now(step)
    answer, rows = undone.value.args
    return answer, rows


def test_nothing_of_another_club_is_read_or_written(database: Database) -> None:
    def prepare(tx: Transaction) -> Rows:
        record(tx.create_club("quay", "Quay", "UTC", NOW), SECRET)
        record(tx.create_club("shore", "Shore", "UTC", NOW), "quiet")
        tx.receive(batch(envelope("1", "quay both", text=SECRET)), NOW)
        return rows_of(tx)

    before = database.run_now(prepare)
    assert SECRET in repr(of_club(before, "quay"))
    idle = set(CASES)
    for name, cases in CASES.items():
        for case in cases:
            for member in ("both", "only-quay", "nobody"):
                answer, after = seen_after(database, case, member)
                assert SECRET not in repr(answer), (name, member)
                assert of_club(after, "quay") == of_club(before, "quay"), (name, member)
                for shared in ("person", "account", "inbox", "conversation", "chat", "seat"):
                    assert of_quay(after[shared]) == of_quay(before[shared]), (name, member)
                if after != before:
                    idle.discard(name)
    assert idle == READING  # every writing method did write, to its own club


def of_quay(rows: list[dict[str, Any]]) -> list[str]:
    return [repr(row) for row in rows if "quay" in repr(row)]


def test_every_key_and_reference_within_a_club_names_it() -> None:
    """A table with a member has the club in its key; a reference to a membership names the club too."""
    for table in metadata.tables.values():
        if "member_id" in table.c:
            known = ("membership", "session")
            targets = [key for key in table.foreign_key_constraints if key.referred_table.name in known]
            assert table.name == "audit" or targets, table.name
            assert all("club_id" in key.columns for key in targets), table.name
            numbered = {"outbox", "audit", "invite", "chat"}  # keys of their own, and a club that cannot be missing
            assert "club_id" in table.primary_key.columns or table.name in numbered, table.name
            assert not table.c.club_id.nullable, table.name


def test_the_database_refuses_a_row_that_points_into_another_club(database: Database) -> None:
    def cross(tx: Transaction) -> None:
        club(tx, "quay", ("mirela",))
        club(tx, "shore", ("tobin",))
        tx.connection.execute(
            metadata.tables["told"].insert().values(club_id="shore", member_id="mirela", code="x", at_ms=1)
        )

    with pytest.raises(IntegrityError):
        database.run_now(cross)
