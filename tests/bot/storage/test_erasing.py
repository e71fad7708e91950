"""Erased means erased: no row, no word in any other row, nothing in the file on disk; and again after a restore."""

import shutil
from pathlib import Path
from typing import Any

import pytest

from bot.storage import Database, Transaction
from bot.storage.tables import metadata
from core.club import Role
from core.phrases import phrase
from core.speech import Say, ToCoaches, ToGroup, ToMember
from core.training import Athlete
from tests.bot.storage.clubs import NOW, batch, club, coach, envelope, later
from tests.bot.storage.picture import rows_of
from tests.bot.storage.test_crossing import changes_of

NAME = "Ottoline"
WORD = "kingfisher"  # what only she has said or what was said of her
WORDS = (NAME, WORD, "ottoline", "4242")


def prepare(tx: Transaction) -> None:
    """A club in which one athlete has left a trace wherever there is a place for one."""
    store = tx.create_club("quay", "Quay", "UTC", NOW)
    club(tx, "shore", ("tobin",)).set_setting("kept", "yes")
    coach(store)
    fill(tx)
    store.add_member(Athlete("tobin", "Otto"), now=NOW)
    store.open_chat("tobin", "telegram", "77", "77", NOW)
    store.post([Say(ToMember("tobin"), (phrase("next", text="Otto, on Monday"),))], "x", NOW, "tobin")


def fill(tx: Transaction) -> None:
    store = tx.club("quay")
    store.add_member(Athlete("ottoline", NAME), now=NOW)
    store.add_member(Athlete("aunt", f"aunt of {NAME}"), Role.GUARDIAN, "ottoline", NOW)
    store.open_chat("ottoline", "telegram", "4242", "4242", NOW)
    store.open_chat("aunt", "telegram", "4243", "4243", NOW)
    store.open_chat(None, "telegram", "group", "", NOW)
    hers = envelope("1", "4242", text=WORD, sender="4242", sender_name=NAME)
    tx.receive(batch(hers, envelope("2", "group", text=WORD, sender="4242", sender_name=NAME)), NOW)
    tx.receive(batch(envelope("3", "4242", text=WORD, kind=hers.kind.UNREADABLE, raw=NAME)), NOW)
    tx.receive(batch(envelope("4", "group", text="hello", sender="77")), NOW)
    fill_record(tx)
    lines = (phrase("alarm", name=NAME, of=phrase("inner", text=f"{NAME}'s elbow")),)
    store.post([Say(ToMember("ottoline"), lines), Say(ToCoaches(), lines), Say(ToGroup(), lines)], "x", NOW)
    store.post([Say(ToCoaches(), (phrase("plain"),))], "telegram 4242 1", NOW)
    store.post([Say(ToCoaches(), (phrase(WORD),))], "x", NOW, "ottoline")
    store.note("x", "ottoline", "okko", "x", NOW)
    store.note("x", None, "ottoline", "x", NOW)
    store.note("x", "tobin", "okko", "telegram 4242 1", NOW)
    store.note("import", None, "shell", "/tmp/ottoline.json", NOW)


def fill_record(tx: Transaction) -> None:
    """The same full record that the crossing test makes, for her."""

    store = tx.club("quay")
    told = [
        one
        for one in changes_of("ottoline")
        if type(one).__name__ not in ("Closed", "Lifted", "Unplanned", "ProfileBecomes")
    ]
    store.apply(told, "ottoline", WORD, NOW)
    store.save_checkpoint("ottoline", "pull_up", NOW.date(), "1", WORD, {"of": WORD})
    store.consent("ottoline", "health", NOW, "aunt")
    store.invite("hash", "ottoline", NOW, later(days=1))
    tx.use_invite("hash", "telegram", "4242", "4242", NOW, NAME)
    store.show_as("ottoline", NAME)


def traces(rows: Any) -> list[str]:
    return [
        f"{table}: {row}" for table, found in rows.items() for row in found if any(word in repr(row) for word in WORDS)
    ]


def test_erase_leaves_no_row_and_no_word(database: Database) -> None:
    database.run_now(prepare)
    before = database.run_now(rows_of)
    touched = {line.split(":")[0] for line in traces(before)}
    counts = database.run_now(lambda tx: tx.club("quay").erase("ottoline", "okko", NOW))
    after = database.run_now(rows_of)
    assert traces(after) == []
    assert set(counts) == touched | {"outbox"}
    for table, rows in before.items():
        added = 1 if table in ("erasure", "audit") else 0
        guardian = 1 if table == "erasure" else 0
        assert len(after[table]) == len(rows) - counts.get(table, 0) + added + guardian, table
    assert "Otto, on Monday" in repr(after["outbox"])
    assert [row["state"] for row in after["inbox"]] == ["new"]


def test_she_leaves_a_trace_in_every_table_that_can_hold_one(database: Database) -> None:
    """The check of the check: what is grepped for was there."""
    database.run_now(prepare)
    touched = {line.split(":")[0] for line in traces(database.run_now(rows_of))}
    impersonal = {"club", "cursor", "setting", "erasure", "stranger"}  # a stranger is nobody of the club
    assert touched == set(metadata.tables) - impersonal


def test_nothing_is_left_in_the_file(sqlite_url: str, tmp_path: Path) -> None:
    database = Database(sqlite_url).open()
    database.run_now(prepare)

    def on_disk() -> set[str]:
        data = b"".join(path.read_bytes() for path in tmp_path.glob("plimsoll.db*"))
        return {word for word in WORDS if word.encode() in data}

    assert on_disk() == set(WORDS)
    database.run_now(lambda tx: tx.club("quay").erase("ottoline", "okko", NOW))
    database.scrub()
    assert on_disk() == set()
    database.close()
    assert on_disk() == set()


def test_who_shares_the_chat_stays(database: Database) -> None:
    """The coach who trains is erased as an athlete only, and still speaks as the coach."""

    def work(tx: Transaction) -> list[Any]:
        store = club(tx, members=())
        coach(store)
        store.add_member(Athlete("okko-trains", "Okko T."), now=NOW)
        store.open_chat("okko-trains", "telegram", "quay-okko", "user-okko", NOW)
        tx.receive(batch(envelope("1", "quay-okko")), NOW)
        counts = store.erase("okko-trains", "okko-trains", NOW)
        owner = tx.whose("telegram", "quay-okko", "user-okko")
        return [owner and owner.member, store.chats("okko"), tx.claim("telegram quay-okko") is not None, counts]

    assert database.run_now(work) == ["okko", (("telegram", "quay-okko"),), True, {"seat": 1, "membership": 1}]


def test_nobody_cannot_be_erased(database: Database) -> None:
    database.run_now(club)
    with pytest.raises(KeyError):
        database.run_now(lambda tx: tx.club("quay").erase("nobody", "okko", NOW))


def test_a_restored_backup_forgets_again(sqlite_url: str, tmp_path: Path) -> None:
    """The list is kept beside the backups, by hash; somebody of the same id who joined since is left alone."""
    database = Database(sqlite_url).open()
    database.run_now(prepare)
    database.scrub()
    shutil.copy(tmp_path / "plimsoll.db", tmp_path / "backup.db")
    database.run_now(lambda tx: tx.club("quay").erase("ottoline", "okko", NOW))
    kept = [hash for hash, _ in database.run_now(lambda tx: tx.erasures())]
    assert not any(word in repr(kept) for word in WORDS)
    newcomer = later(days=1)
    database.run_now(lambda tx: tx.club("quay").add_member(Athlete("ottoline", NAME), now=newcomer))
    assert database.run_now(lambda tx: tx.replay_erasures(kept, NOW)) == 0
    database.close()

    restored = Database(f"sqlite:///{tmp_path / 'backup.db'}").open()
    assert traces(restored.run_now(rows_of)) != []
    assert restored.run_now(lambda tx: tx.replay_erasures(kept, NOW)) == 2
    assert traces(restored.run_now(rows_of)) == []
    restored.close()
