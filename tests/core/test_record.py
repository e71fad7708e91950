"""The fold: what messages say, in the order written, whatever order they arrive in."""

from datetime import UTC, date, datetime
from random import Random

from hypothesis import given
from hypothesis import strategies as st

from core.club import DayRecord, Entry
from core.record import current, fold
from core.training import Json, Pain, Set

DAY = date(2026, 10, 5)
HEARD = datetime(2026, 10, 5, 8, tzinfo=UTC)


def entry(number: int, reading: Json, revision: int = 0) -> Entry:
    return Entry(f"m{number}", revision, (number, f"m{number}"), DAY, "", {}, reading, "1", HEARD)


def added(*reps: int) -> Json:
    return {"mode": "add", "sets": [Set(r).to_json() for r in reps]}


def reps(record: DayRecord) -> list[int]:
    return [done.reps for done in record.sets]


def test_sets_add_up_in_the_order_written() -> None:
    assert reps(fold([entry(2, added(4)), entry(1, added(5, 5))])) == [5, 5, 4]


def test_an_edit_supersedes_only_its_own_message() -> None:
    entries = [entry(1, added(5)), entry(2, added(4)), entry(1, added(6), revision=7)]
    assert reps(fold(entries)) == [6, 4]


def test_an_edit_that_arrives_before_its_original_wins_all_the_same() -> None:
    assert reps(fold([entry(1, added(6), revision=7), entry(1, added(5))])) == [6]


def test_below_a_correction_of_everything_an_older_entry_changes_nothing() -> None:
    whole = {"mode": "replace", "sets": [Set(5).to_json()] * 3}
    entries = [entry(1, added(5, 5)), entry(2, whole), entry(1, added(9), revision=1)]
    assert reps(fold(entries)) == [5, 5, 5]


def test_a_skip_with_sets_on_record_is_stopping_early() -> None:
    skip = {"mode": "none", "sets": [], "skipped": True}
    assert fold([entry(1, skip)]).skipped
    assert not fold([entry(1, added(5)), entry(2, skip)]).skipped
    assert not fold([entry(1, skip), entry(2, added(5))]).skipped


def test_the_worse_pain_stays_and_is_scored_later() -> None:
    sore = [entry(1, {"pain": {"place": "elbow", "score": None}}), entry(2, {"pain_score": 4})]
    assert fold(sore).pain == Pain("elbow", 4)
    milder = entry(3, {"pain": {"place": "wrist", "score": 1}})
    assert fold([*sore, milder]).pain == Pain("elbow", 4)
    assert fold([*sore, entry(3, {"morning": 0})]).pain == Pain("elbow", 4, 0)


def test_an_effort_rates_the_last_set() -> None:
    record = fold([entry(1, added(5, 5)), entry(2, {"effort": 8.5})])
    assert [done.rpe for done in record.sets] == [None, 8.5]


@given(st.lists(st.lists(st.integers(0, 20), max_size=3), max_size=6), st.randoms())
def test_arrival_order_and_repetition_do_not_matter(said: list[list[int]], random: Random) -> None:
    entries = [entry(number, added(*reps)) for number, reps in enumerate(said)]
    shuffled = entries + [one for one in entries if random.random() < 0.5]
    random.shuffle(shuffled)
    assert fold(shuffled) == fold(entries)
    assert len(current(shuffled)) == len(entries)
