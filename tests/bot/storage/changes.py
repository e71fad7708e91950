"""Any change that a decision may make of a member, for laws."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

from hypothesis import strategies as st

from core.club import (
    Asked,
    Closed,
    DayBecomes,
    DayRecord,
    DueKind,
    Entry,
    Heard,
    KitBecomes,
    Lifted,
    Ordered,
    Planned,
    Prescribed,
    ProfileBecomes,
    Question,
    Revoked,
    Told,
    Unplanned,
)
from core.orders import Order, OrderKind
from core.training import Aim, Athlete, Exercise, Limits, Pain, PrescribedSet, Set, Weekday
from core.units import Unit

texts = st.text(max_size=12)  # of any characters whatever
words = st.text("abcdefg \0\x1aé\ud800🙂", min_size=1, max_size=6)
days = st.dates(date(2026, 9, 28), date(2026, 10, 9))
instants = st.integers(0, 10**9).map(lambda step: datetime(2026, 10, 1, tzinfo=UTC) + timedelta(milliseconds=step))
masses = st.integers(0, 400_000)
halves = st.none() | st.integers(2, 20).map(lambda number: number / 2)
bands = st.lists(words, max_size=2, unique=True).map(lambda found: tuple(sorted(found)))
exercises = st.sampled_from(Exercise)
loose: st.SearchStrategy[Any] = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**12), 10**12)
    | st.floats(allow_nan=False, allow_infinity=False)
    | texts,
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(texts, inner, max_size=2),
    max_leaves=4,
)
objects = st.dictionaries(texts, loose, max_size=3)

sets = st.builds(
    Set, st.integers(0, 10_000), st.none() | masses, st.none() | bands, halves, st.booleans(), exercises,
    st.none() | st.integers(0, 3600),
)  # fmt: skip
prescribed = st.builds(
    PrescribedSet, st.integers(0, 100), masses, bands, st.integers(0, 600), halves, st.booleans(), exercises,
    st.none() | st.integers(0, 600),
)  # fmt: skip
scores = st.none() | st.integers(0, 10)
pains = st.none() | st.builds(Pain, st.none() | words, scores, scores)
records = st.builds(
    DayRecord, st.lists(sets, max_size=4).map(tuple), st.booleans(), pains, st.none() | st.integers(1, 300_000)
)
orders = st.builds(
    Order, days, st.sampled_from(("coach", "athlete", "engine")), st.sampled_from(OrderKind), st.none() | days,
    st.none() | masses, st.none() | bands, st.none() | st.integers(0, 9), st.none() | st.integers(0, 30), halves,
    st.none() | st.sampled_from(Aim), texts,
)  # fmt: skip
questions = st.builds(
    Question, st.sampled_from("abc"), words, instants, instants, days, texts, st.lists(objects, max_size=2).map(tuple)
)
kinds = st.sampled_from(DueKind)


def entries(number: st.SearchStrategy[int]) -> st.SearchStrategy[Entry]:
    """Few message names, so that revisions of one message happen."""
    order = st.tuples(st.integers(0, 2**52), texts)
    names = number.map(lambda one: f"telegram chat {one}")
    return st.builds(Entry, names, st.integers(0, 2**40), order, days, texts, objects, objects, words, instants)


def athletes(member: str) -> st.SearchStrategy[Athlete]:
    limits = st.builds(Limits, st.none() | st.integers(0, 9), st.none() | st.integers(0, 600))
    return st.builds(
        Athlete, st.just(member), words, st.sampled_from(Unit), st.sampled_from(("en", "de")), st.just("Europe/Lisbon"),
        st.just("07:00"), st.none() | days, st.sampled_from((None, "female", "male")), limits=limits,
        training_days=st.sets(st.sampled_from(Weekday)).map(tuple), aim=st.sampled_from(Aim),
    )  # fmt: skip


def changes(member: str, order: st.SearchStrategy[Order] = orders) -> st.SearchStrategy[Any]:
    """One of each kind; a law that meets fewer kinds is no law."""
    who = st.just(member)
    return st.one_of(
        st.builds(Heard, who, entries(st.integers(0, 3))),
        st.builds(DayBecomes, who, days, records),
        st.builds(Prescribed, who, days, st.lists(prescribed, max_size=3).map(tuple), objects),
        st.builds(Asked, who, questions),
        st.builds(Closed, who, st.sampled_from("abc")),
        st.builds(Ordered, who, order),
        st.builds(Lifted, who, order, days),
        st.builds(ProfileBecomes, who, athletes(member)),
        st.builds(KitBecomes, who, days, objects),
        st.builds(Told, who, words),
        st.builds(Planned, who, kinds, days, instants),
        st.builds(Unplanned, who, kinds, days),
        st.builds(Revoked, who),
    )
