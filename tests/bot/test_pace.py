"""The windows against a network that counts calls somewhere between their start and their end."""

import heapq
from collections.abc import Iterable

from hypothesis import given
from hypothesis import strategies as st

from bot.pace import UNLIMITED, Limit, Limits, Pace, Window

calls = st.tuples(st.integers(0, 5), st.floats(0, 2), st.floats(0, 1))  # chat, slowness, where it is counted


def even(chat: str) -> bool:
    return int(chat) % 2 == 0


def group(chat: str) -> bool:
    return chat.startswith("-")


def most_in_any(times: Iterable[float], seconds: float) -> int:
    """The greatest number of calls counted in any half-open window of `seconds`."""
    ordered = sorted(times)
    return max((sum(start <= time < start + seconds for time in ordered) for start in ordered), default=0)


def played(pace: Pace, plan: list[tuple[int, float, float]]) -> dict[str, list[float]]:
    """Start each call as early as allowed, in order; when the network counts it, by chat. Even chats are groups."""
    now, under_way = 0.0, list[tuple[float, int]]()
    counted: dict[str, list[float]] = {}
    for chat, slowness, place in plan:
        name = str(chat)
        while (at := pace.free_at(name, now)) is None or at > now:
            upcoming = under_way[0][0] if under_way else float("inf")
            now = min(upcoming, float("inf") if at is None else at)
            while under_way and under_way[0][0] <= now:
                end, ended = heapq.heappop(under_way)
                pace.end(str(ended), end)
        pace.start(name)
        heapq.heappush(under_way, (now + slowness, chat))
        counted.setdefault(name, []).append(now + slowness * place)
    return counted


@given(st.lists(calls, max_size=80))
def test_the_network_never_counts_more_than_allowed(plan: list[tuple[int, float, float]]) -> None:
    limits = Limits(bot=(Limit(4, 1.0),), chat=(Limit(1, 1.0),), group=(Limit(1, 1.0), Limit(3, 10.0)))
    counted = played(Pace(limits, even), plan)
    assert most_in_any((time for times in counted.values() for time in times), 1.0) <= 4
    for chat, times in counted.items():
        assert most_in_any(times, 1.0) <= 1
        assert int(chat) % 2 or most_in_any(times, 10.0) <= 3


def test_without_limits_the_same_plan_breaks_them() -> None:
    counted = played(Pace(UNLIMITED, even), [(0, 0.0, 0.0)] * 5)
    assert most_in_any(counted["0"], 1.0) == 5


def test_nothing_waits_longer_than_it_must() -> None:
    pace = Pace(Limits(), group)
    assert pace.free_at("1", 10.0) == 10.0
    pace.start("1")
    assert pace.free_at("1", 10.0) is None  # order: one at a time
    assert pace.free_at("2", 10.0) == 10.0
    pace.end("1", 10.2)
    assert pace.free_at("1", 10.2) == 11.2
    assert pace.free_at("1", 11.2) == 11.2


def test_thirty_a_second_for_the_bot() -> None:
    pace = Pace(Limits(), group)
    for number in range(30):
        assert pace.room(0.0, 100) > 0
        pace.start(str(number))
        pace.end(str(number), 0.0)
    assert pace.room(0.5, 100) == 0
    assert pace.free_at("new", 0.5) == 1.0
    assert pace.room(1.0, 100) == 30


def test_twenty_a_minute_for_a_group() -> None:
    pace, now = Pace(Limits(), group), 0.0
    for _ in range(20):
        at = pace.free_at("-1", now)
        assert at is not None
        now = at
        pace.start("-1")
        pace.end("-1", now)
    assert now == 19.0
    assert pace.free_at("-1", now) == 60.0


def test_a_parked_chat_holds_up_no_other() -> None:
    pace = Pace(Limits(), group)
    pace.park("1", 30.0)
    assert pace.free_at("1", 5.0) == 30.0
    assert pace.free_at("2", 5.0) == 5.0


def test_a_restart_is_no_licence_to_hurry() -> None:
    pace = Pace(Limits(), group)
    pace.remember(("-1", 1.0 * second) for second in range(20))
    assert pace.free_at("-1", 20.0) == 60.0


def test_chats_are_forgotten_once_they_no_longer_count() -> None:
    pace = Pace(Limits(bot=(Limit(10**6, 1.0),)), group)
    for number in range(10_000):
        pace.start(str(number))
        pace.end(str(number), number / 100)
        assert len(pace.busy(number / 100)) <= 101


def test_the_room_is_what_may_start_and_the_busy_are_who_may_not() -> None:
    pace = Pace(Limits(bot=(Limit(5, 1.0),)), group)
    assert (pace.room(0.0, 3), pace.room(0.0, 9), pace.busy(0.0)) == (3, 5, {})
    pace.start("1")
    pace.start("2")
    pace.end("2", 0.0)
    assert (pace.room(0.5, 9), pace.busy(0.5)) == (3, {"1": None, "2": 1.0})
    assert pace.next_room(0.5) == 0.5
    assert (pace.room(1.0, 9), pace.busy(1.0)) == (4, {"1": None})


def test_a_window_alone() -> None:
    window = Window((Limit(2, 10.0),))
    window.ends.extend([1.0, 2.0])
    assert window.free_at(3.0) == 11.0
    window.under_way = 1
    assert window.free_at(11.0) == 12.0  # one place is taken: both ends must have gone
