"""The windows against a network that counts calls somewhere between their start and their end."""

import heapq
from collections.abc import Iterable

from hypothesis import given
from hypothesis import strategies as st

from bot.pace import UNLIMITED, Limit, Limits, Pace, Window

calls = st.tuples(st.integers(0, 5), st.floats(0, 2), st.floats(0, 1))  # chat, slowness, where it is counted


def most_in_any(times: Iterable[float], seconds: float) -> int:
    """The greatest number of calls counted in any half-open window of `seconds`."""
    ordered = sorted(times)
    return max((sum(start <= time < start + seconds for time in ordered) for start in ordered), default=0)


def played(pace: Pace, plan: list[tuple[int, float, float]]) -> dict[str, list[float]]:
    """Start each call as early as allowed, in order; when the network counts it, by chat. Even chats are groups."""
    now, under_way = 0.0, list[tuple[float, int]]()
    counted: dict[str, list[float]] = {}
    for chat, slowness, place in plan:
        name, group = str(chat), chat % 2 == 0
        while (at := pace.free_at(name, group, now)) is None or at > now:
            upcoming = under_way[0][0] if under_way else float("inf")
            now = min(upcoming, float("inf") if at is None else at)
            while under_way and under_way[0][0] <= now:
                end, ended = heapq.heappop(under_way)
                pace.end(str(ended), ended % 2 == 0, end)
        pace.start(name, group)
        heapq.heappush(under_way, (now + slowness, chat))
        counted.setdefault(name, []).append(now + slowness * place)
    return counted


@given(st.lists(calls, max_size=80))
def test_the_network_never_counts_more_than_allowed(plan: list[tuple[int, float, float]]) -> None:
    limits = Limits(bot=(Limit(4, 1.0),), chat=(Limit(1, 1.0),), group=(Limit(1, 1.0), Limit(3, 10.0)))
    counted = played(Pace(limits), plan)
    assert most_in_any((time for times in counted.values() for time in times), 1.0) <= 4
    for chat, times in counted.items():
        assert most_in_any(times, 1.0) <= 1
        assert int(chat) % 2 or most_in_any(times, 10.0) <= 3


def test_without_limits_the_same_plan_breaks_them() -> None:
    counted = played(Pace(UNLIMITED), [(0, 0.0, 0.0)] * 5)
    assert most_in_any(counted["0"], 1.0) == 5


def test_nothing_waits_longer_than_it_must() -> None:
    pace = Pace(Limits())
    assert pace.free_at("1", False, 10.0) == 10.0
    pace.start("1", False)
    assert pace.free_at("1", False, 10.0) is None  # order: one at a time
    assert pace.free_at("2", False, 10.0) == 10.0
    pace.end("1", False, 10.2)
    assert pace.free_at("1", False, 10.2) == 11.2
    assert pace.free_at("1", False, 11.2) == 11.2


def test_thirty_a_second_for_the_bot() -> None:
    pace = Pace(Limits())
    for number in range(30):
        assert not pace.full(0.0)
        pace.start(str(number), False)
        pace.end(str(number), False, 0.0)
    assert pace.full(0.5)
    assert pace.free_at("new", False, 0.5) == 1.0
    assert not pace.full(1.0)


def test_twenty_a_minute_for_a_group() -> None:
    pace, now = Pace(Limits()), 0.0
    for _ in range(20):
        at = pace.free_at("-1", True, now)
        assert at is not None
        now = at
        pace.start("-1", True)
        pace.end("-1", True, now)
    assert now == 19.0
    assert pace.free_at("-1", True, now) == 60.0


def test_a_parked_chat_holds_up_no_other() -> None:
    pace = Pace(Limits())
    pace.park("1", False, 30.0)
    assert pace.free_at("1", False, 5.0) == 30.0
    assert pace.free_at("2", False, 5.0) == 5.0


def test_a_restart_is_no_licence_to_hurry() -> None:
    pace = Pace(Limits())
    pace.remember("-1", True, [1.0 * second for second in range(20)])
    assert pace.free_at("-1", True, 20.0) == 60.0


def test_chats_are_forgotten_once_they_no_longer_count() -> None:
    pace = Pace(Limits(bot=(Limit(10**6, 1.0),)))
    for number in range(10_000):
        pace.start(str(number), False)
        pace.end(str(number), False, number / 100)
    assert len(pace._chats) < 5000


def test_a_window_alone() -> None:
    window = Window((Limit(2, 10.0),))
    window.ends.extend([1.0, 2.0])
    assert window.free_at(3.0) == 11.0
    window.under_way = 1
    assert window.free_at(11.0) == 12.0  # one place is taken: both ends must have gone
