"""What becomes of a posting after a try, as a table."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.messengers import Can, Refused, Unavailable
from bot.outbox import (
    Anew,
    Close,
    Later,
    Move,
    Refuse,
    Uncertain,
    Verb,
    Waiting,
    after_refused,
    after_unavailable,
    stale,
    wait,
)

NOW = datetime(2026, 10, 5, 6, 0, tzinfo=UTC)
PLAIN, SAFE = Can(), Can(repeats_safely=True)
ANSWER = Waiting("1", "telegram", "4211")
SESSION = Waiting("2", "telegram", "4211", prescribes=True)
SESSION_AGAIN = Waiting("2", "telegram", "4211", prescribes=True, again=True, tries=1)
EDIT = Waiting("3", "telegram", "4211", Verb.EDIT, "77")
REACTION = Waiting("4", "telegram", "4211", Verb.REACTION, "77")
PIN = Waiting("5", "telegram", "4211", Verb.PIN, "77")


@pytest.mark.parametrize(
    ("row", "can", "sent", "expected"),
    [
        (ANSWER, PLAIN, "no", Later),
        (ANSWER, PLAIN, "unknown", Uncertain),
        (ANSWER, SAFE, "unknown", Later),
        (SESSION, PLAIN, "no", Later),
        (SESSION, PLAIN, "unknown", Later),
        (SESSION_AGAIN, PLAIN, "no", Later),
        (SESSION_AGAIN, PLAIN, "unknown", Uncertain),
        (EDIT, PLAIN, "unknown", Later),
        (REACTION, PLAIN, "unknown", Later),
        (PIN, PLAIN, "unknown", Later),
    ],
)
def test_after_unavailable(row: Waiting, can: Can, sent: str, expected: type) -> None:
    verdict = after_unavailable(row, Unavailable("why", sent, None), can, NOW)  # type: ignore[arg-type]
    assert type(verdict) is expected
    if isinstance(verdict, Later):
        assert verdict.at > NOW
        recognisable = row.again or (row is SESSION and sent == "unknown")
        assert verdict.again is recognisable


@pytest.mark.parametrize(
    ("row", "error", "expected"),
    [
        (ANSWER, Refused("no"), Refuse("no")),
        (ANSWER, Refused("blocked", closed=True), Close("blocked")),
        (EDIT, Refused("blocked", closed=True), Close("blocked")),
        (ANSWER, Refused("moved", moved_to="-1001"), Move("-1001")),
        (EDIT, Refused("message to edit not found"), Anew("message to edit not found")),
        (REACTION, Refused("message to react not found"), Refuse("message to react not found")),
    ],
)
def test_after_refused(row: Waiting, error: Refused, expected: object) -> None:
    assert after_refused(row, error) == expected


@given(st.integers(0, 10_000), st.one_of(st.none(), st.floats(0, 10_000)))
def test_waits_grow_to_a_bound_and_honour_the_networks_wish(tries: int, wish: float | None) -> None:
    waited = wait(tries, wish).total_seconds()
    assert waited >= 1
    assert wish is None or waited >= wish - 1e-6
    assert waited <= max(300.0, 0.0 if wish is None else wish + 1e-6)
    assert wait(tries + 1, wish) >= wait(tries, wish)


def test_the_first_waits() -> None:
    assert [wait(tries, None) for tries in range(4)] == [timedelta(seconds=s) for s in (1, 2, 4, 8)]


@pytest.mark.parametrize(("after", "expected"), [(None, False), (timedelta(0), True), (timedelta(seconds=1), False)])
def test_stale(after: timedelta | None, expected: bool) -> None:
    assert stale(Waiting("1", "t", "c", worthless_after=None if after is None else NOW + after), NOW) is expected
