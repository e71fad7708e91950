"""A prescription with ten years of history against one with a month; `advise` on 500 sessions; a morning's plans.

    python -m tests.bench.prescription

Times are of this process's own processor time, so that a busy machine does not matter much.
"""

import time
from collections.abc import Callable
from datetime import timedelta

from core.advise import WINDOW, Case, advise, prescribe
from core.files import AthleteFile
from core.programmes.setting import profile_of
from core.strength import estimate
from tests.core.programmes.histories import file_of, session


def history(sessions: int) -> AthleteFile:
    """So many sessions of four fives, Monday, Wednesday and Friday, up to last week's end."""
    days = [7 * (1 + place // 3) - (0, 2, 4)[2 - place % 3] for place in range(sessions)]
    past = [session(ago, 5, 5, 5, 5, asked=5, added_g=7_500, rpe=8.0) for ago in sorted(days, reverse=True)]
    return file_of(past)


def case(file: AthleteFile) -> Case:
    """As the service has it: a checkpoint and the recent sessions."""
    profile = profile_of(file.athlete, file.kits, file.bodyweights, file.today)
    recent = tuple(one for one in file.sessions if one.day >= file.today - WINDOW)
    checkpoint = estimate(None, file.sessions, profile)
    return Case(file.athlete, file.today, checkpoint, recent, file.kits, file.bodyweights, file.orders)


def seconds(work: Callable[[], object], times: int) -> float:
    """The best of five means."""
    best = float("inf")
    for _ in range(5):
        start = time.process_time()
        for _ in range(times):
            work()
        best = min(best, (time.process_time() - start) / times)
    return best


def main() -> None:
    month, quarter, decade = case(history(12)), case(history(30)), case(history(1_500))
    advise(history(12))
    short, window, long = (seconds(lambda one=one: prescribe(one), 10) for one in (month, quarter, decade))
    print(f"a prescription: one month {1000 * short:.1f} ms, ten weeks {1000 * window:.1f} ms")
    print(f"ten years {1000 * long:.1f} ms: {long / window:.2f} times ten weeks, {long / short:.2f} times one month")
    print(f"{1 / window:.0f} a second, 10,000 in {timedelta(seconds=round(10_000 * window))} on one core")
    whole = history(500)
    print(f"advise on 500 sessions from the file: {1000 * seconds(lambda: advise(whole), 1):.0f} ms")


if __name__ == "__main__":
    main()
