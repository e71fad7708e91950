"""Local wishes and clock changes. Transition dates: IANA time zone database (2025b, read through zoneinfo)."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.orders import Order, OrderKind
from core.schedule import instant, occurrences, trains_on
from core.training import Athlete, Weekday

# (zone, day, wall, expected UTC): both clock changes of 2026 in four zones, worked out by hand from the offsets.
CHANGES = [
    ("Europe/Berlin", "2026-03-29", "02:30", "2026-03-29T01:00"),  # gap 02:00-03:00 local
    ("Europe/Berlin", "2026-10-25", "02:30", "2026-10-25T00:30"),  # fold: summer time first
    ("America/New_York", "2026-03-08", "02:30", "2026-03-08T07:00"),
    ("America/New_York", "2026-11-01", "01:30", "2026-11-01T05:30"),
    ("Australia/Lord_Howe", "2026-10-04", "02:15", "2026-10-03T15:30"),  # half an hour: 02:00 -> 02:30
    ("Australia/Lord_Howe", "2026-04-05", "01:45", "2026-04-04T14:45"),
    ("America/Santiago", "2026-09-06", "00:30", "2026-09-06T04:00"),  # midnight itself is skipped
    ("America/Santiago", "2026-04-04", "23:30", "2026-04-05T02:30"),
    ("Pacific/Apia", "2011-12-30", "07:00", "2011-12-30T10:00"),  # a whole date is skipped
    ("Asia/Kolkata", "2026-06-01", "07:00", "2026-06-01T01:30"),
]


@pytest.mark.parametrize(("zone", "day", "wall", "expected"), CHANGES)
def test_the_rule_where_clocks_change(zone: str, day: str, wall: str, expected: str) -> None:
    found = instant(date.fromisoformat(day), time.fromisoformat(wall), ZoneInfo(zone))
    assert found == datetime.fromisoformat(expected).replace(tzinfo=UTC)


@given(
    st.sampled_from([row[0] for row in CHANGES]),
    st.dates(date(2024, 1, 1), date(2033, 12, 31)),
    st.times().map(lambda wall: wall.replace(second=0, microsecond=0)),
)
def test_one_instant_at_the_wall_time_or_right_behind_the_gap(zone: str, day: date, wall: time) -> None:
    found, there = instant(day, wall, ZoneInfo(zone)), ZoneInfo(zone)
    local = found.astimezone(there)
    if (local.date(), local.time()) != (day, wall):
        before = (found - timedelta(seconds=1)).astimezone(there)
        assert before.replace(tzinfo=None) < datetime.combine(day, wall) < local.replace(tzinfo=None)
    earlier = (found - timedelta(hours=2)).astimezone(there)
    assert (earlier.date(), earlier.time()) != (day, wall)


def athlete(**facts: object) -> Athlete:
    return Athlete("a1", "Mirela", time_zone="Europe/Lisbon", hour="07:00", **facts)  # type: ignore[arg-type]


MONDAY = date(2026, 10, 5)


def test_eight_days_hold_each_training_day_once() -> None:
    found = occurrences(athlete(), (), MONDAY)
    assert [one.day.isoformat() for one in found] == ["2026-10-05", "2026-10-07", "2026-10-09", "2026-10-12"]
    assert found[0].due == datetime(2026, 10, 5, 6, tzinfo=UTC)


def test_away_pause_and_closed_days_hold_none() -> None:
    away = Order(MONDAY, "athlete", OrderKind.AWAY, MONDAY + timedelta(days=3))
    assert [one.day.day for one in occurrences(athlete(), (away,), MONDAY)] == [9, 12]
    pause = Order(MONDAY, "coach", OrderKind.PAUSE)
    assert occurrences(athlete(), (pause,), MONDAY) == ()
    closed = frozenset((MONDAY,))
    assert [one.day.day for one in occurrences(athlete(), (), MONDAY, closed=closed)] == [7, 9, 12]


def test_a_session_moved_to_tomorrow_is_due_tomorrow() -> None:
    tuesday = MONDAY + timedelta(days=1)
    moved = Order(tuesday, "athlete", OrderKind.EXTRA, tuesday)
    assert trains_on(athlete(), (moved,), tuesday)
    assert not trains_on(athlete(), (), tuesday)
    assert not trains_on(athlete(training_days=(Weekday.SUN,)), (), MONDAY)
