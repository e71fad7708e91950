"""The athlete file in and out: the same file twice changes nothing, and out comes what went in."""

from dataclasses import replace
from datetime import date
from itertools import count
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.storage import Database, Filed, Transaction
from core.club import DayBecomes, DayRecord, Heard, KitBecomes, Prescribed
from core.files import AthleteFile, DatedKit, athlete_file
from core.kit import kit_from_json, kit_to_json
from core.orders import Order, OrderKind
from core.problems import BadInput
from core.training import BodyMass, Pain, PrescribedSet, Session, Set
from tests.bot.storage import changes
from tests.bot.storage.clubs import DAY, NOW, athlete, club, entry

CLUBS = count(1)
KIT = {"unit": "kg", "belt": {"max_pieces": 5}, "plate": [{"mass": 5, "count": 2}]}
HEAVIER = KIT | {"kettlebell": [{"mass": 12, "count": 1}]}


def kit(data: Any) -> Any:
    return kit_from_json(data, "kit")


def day(number: int) -> date:
    return date(2026, 10, number)


def session(number: int, id: str | None = None, reps: int = 5, **more: Any) -> Session:
    return Session(id or f"s{number}", day(number), (Set(reps, 7500),), (PrescribedSet(5, 7500),), **more)


FILE = AthleteFile(
    athlete=athlete(),
    today=DAY,
    kits=(DatedKit(None, kit(KIT)), DatedKit(day(3), kit(HEAVIER))),
    bodyweights=(BodyMass(day(1), 72_400), BodyMass(day(3), 72_000)),
    sessions=(session(1), session(2, skipped=True), session(3, pain=Pain("elbow", 4))),
    orders=(Order(day(1), "coach", OrderKind.HOLD), Order(day(2), "athlete", OrderKind.AWAY, day(4))),
)


def put(database: Database, *files: AthleteFile) -> list[Any]:
    """What each file changed, and the file that comes out at the end."""

    def work(tx: Transaction) -> list[Any]:
        store = club(tx, f"club {next(CLUBS)}", ())
        return [*(store.put_file("mirela", one, NOW) for one in files), store.athlete_file("mirela", DAY)]

    return database.run_now(work)


def test_the_same_file_twice_changes_nothing(database: Database) -> None:
    first, second, out = put(database, FILE, FILE)
    assert first == Filed(added=True, profile=False, kits=2, bodyweights=2, sessions=3, orders=2)
    assert second == Filed()
    assert not second
    assert out == FILE
    assert athlete_file(out.to_json()) == FILE


masses = st.lists(st.builds(BodyMass, changes.days, st.integers(1, 300_000)), max_size=3, unique_by=lambda one: one.day)
sessions = st.lists(
    st.builds(
        Session, st.text("abc", min_size=1, max_size=3), changes.days, st.lists(changes.sets, max_size=2).map(tuple),
        st.lists(changes.prescribed, max_size=2).map(tuple), st.booleans(), changes.pains,
    ),
    max_size=4, unique_by=(lambda one: one.day, lambda one: one.id),
)  # fmt: skip
orders = st.lists(changes.orders, max_size=3, unique_by=lambda one: replace(one, until=None))
files = st.builds(
    AthleteFile, changes.athletes("mirela"), st.just(DAY), st.just(()),
    masses.map(lambda found: tuple(sorted(found, key=lambda one: one.day))),
    sessions.map(lambda found: tuple(sorted(found, key=lambda one: one.day))), orders.map(tuple),
)  # fmt: skip


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(first=files, second=files)
def test_whatever_file_goes_in_comes_out(database: Database, first: AthleteFile, second: AthleteFile) -> None:
    """Alone as it was; after another one, each of its sessions, masses and orders; and again it changes nothing."""
    assert put(database, first)[-1] == first
    _, _, again, both = put(database, first, second, second)
    assert again == Filed()
    assert set(second.sessions) <= set(both.sessions)
    assert set(second.bodyweights) <= set(both.bodyweights)
    assert set(second.orders) <= set(both.orders)
    kept = {one.day for one in second.sessions}
    ids = {one.id for one in second.sessions}
    assert {one for one in first.sessions if one.day not in kept and one.id not in ids} <= set(both.sessions)


@pytest.mark.parametrize(
    ("changed", "filed", "days"),
    [
        (replace(FILE, sessions=(session(2, reps=3),)), Filed(sessions=1), [1, 2, 3]),
        (replace(FILE, sessions=(session(7, "s2"),)), Filed(sessions=1), [1, 3, 7]),
        (replace(FILE, sessions=(session(2, "other"),)), Filed(sessions=1), [1, 2, 3]),
        (replace(FILE, sessions=(session(1, "s2"), session(2, "s1"))), Filed(sessions=2), [1, 2, 3]),
        (replace(FILE, sessions=()), Filed(), [1, 2, 3]),
        (replace(FILE, athlete=athlete(sex="female")), Filed(profile=True), [1, 2, 3]),
        (replace(FILE, athlete=athlete("another-id")), Filed(), [1, 2, 3]),
        (replace(FILE, kits=(DatedKit(day(3), kit(KIT)),)), Filed(kits=1), [1, 2, 3]),
        (replace(FILE, bodyweights=(BodyMass(day(3), 70_000),)), Filed(bodyweights=1), [1, 2, 3]),
    ],
)
def test_a_file_is_merged(database: Database, changed: AthleteFile, filed: Filed, days: list[int]) -> None:
    _, second, out = put(database, FILE, changed)
    assert second == filed
    assert [one.day.day for one in out.sessions] == days
    assert set(changed.sessions) <= set(out.sessions)


def test_an_order_that_was_lifted_elsewhere_is_lifted_here(database: Database) -> None:
    hold = FILE.orders[0]
    lifted = replace(FILE, orders=(replace(hold, until=day(2)),))
    _, second, out = put(database, FILE, lifted)
    assert second == Filed(orders=1)
    assert out.orders == (replace(hold, until=day(2)), FILE.orders[1])


def test_two_sessions_of_one_day_are_refused(database: Database) -> None:
    with pytest.raises(BadInput) as refused:
        put(database, replace(FILE, sessions=(session(1), session(1, "other"), session(2), session(2, "more"))))
    assert str(refused.value).splitlines() == [
        "athlete file, session 'other': is of 2026-10-01, as session 's1' is; make one session of the two.",
        "athlete file, session 'more': is of 2026-10-02, as session 's2' is; make one session of the two.",
    ]


def test_what_the_chat_logged_comes_out_too(database: Database) -> None:
    """And a day whose id a file has taken for another day gets one of its own."""

    def work(tx: Transaction) -> AthleteFile:
        store = club(tx)
        store.put_file("mirela", replace(FILE, sessions=(session(1, DAY.isoformat()),)), NOW)
        applied = [
            Heard("mirela", entry("1")),
            DayBecomes("mirela", DAY, DayRecord((Set(5),), mass_g=71_000)),
            Prescribed("mirela", day(7), (PrescribedSet(3),), {"reasons": []}),
            KitBecomes("mirela", day(6), kit_to_json(kit(KIT))),
        ]
        store.apply(applied, "mirela", "x", NOW)
        return store.athlete_file("mirela", DAY)

    out = database.run_now(work)
    assert [(one.id, one.day.day) for one in out.sessions] == [
        ("2026-10-05", 1),
        ("2026-10-05/2", 5),
        ("2026-10-07", 7),
    ]
    assert out.sessions[1].sets == (Set(5),)
    assert out.bodyweights[-1] == BodyMass(DAY, 71_000)
    assert out.kits[-1] == DatedKit(day(6), kit(KIT))
    assert put(database, out)[-1] == out


def test_an_import_makes_estimates_from_its_first_change_on_void(database: Database) -> None:
    def work(tx: Transaction) -> list[bool]:
        store = club(tx)
        store.put_file("mirela", FILE, NOW)
        for number in (1, 2, 3):
            store.save_checkpoint("mirela", "pull_up", day(number), "1", "h", {})
        store.put_file("mirela", FILE, NOW)
        kept = store.checkpoint("mirela", "pull_up", date.max, "1")
        store.put_file("mirela", replace(FILE, sessions=(session(2),)), NOW)
        left = store.checkpoint("mirela", "pull_up", date.max, "1")
        return [kept is not None and kept[0].day == 3, left is not None and left[0].day == 1]

    assert database.run_now(work) == [True, True]


def test_members_are_found_by_id_or_name(database: Database) -> None:
    def work(tx: Transaction) -> list[list[str]]:
        store = club(tx, members=())
        club(tx, "shore", ("zora",))
        for id, name in (("a", "Mirela"), ("b", "mirela"), ("Tobin", "Zed"), ("c", "Tobin"), ("d", "Straße")):
            store.add_member(athlete(id, name), now=NOW)
        asked = ("MIRELA ", "Tobin", "zora", "STRASSE", "")
        return [[one.id for one in store.members_called(name)] for name in asked]

    assert database.run_now(work) == [["a", "b"], ["Tobin"], [], ["d"], []]
