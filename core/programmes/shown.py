"""What the last of the first few sessions has shown can be done again, whatever the estimate doubts.

The estimate is a bell curve and keeps some doubt below what was done three days ago; good and bad days move the
repetitions to failure by less than one (retest SEM .7 at 90 %, 1.1 at 70 %, see `tests/published`).
"""

from core.programmes.history import Worked, worked
from core.programmes.situation import Rung, Situation
from core.safety import Light
from core.training import Set

EARLY = 4  # sessions, after which the estimate knows better
FRESH_DAYS = 14
LIMIT_RPE = 9.5


def shown(situation: Situation, rung: Rung, count: int) -> tuple[int, ...]:
    """Repetitions of each of `count` sets on this rung that the last session makes likely; zeros where none."""
    past = worked(situation)
    if not past or len(past) > EARLY or situation.verdict.light >= Light.EASE:
        return (0,) * count
    last = past[-1]
    if (situation.day - last.session.day).days > FRESH_DAYS:
        return (0,) * count
    known = [_again(one) if system >= 0.998 * rung.system_g else 0 for one, system in _loads(situation, last)]
    return tuple(known[min(place, len(known) - 1)] for place in range(count))


def _loads(situation: Situation, last: Worked) -> tuple[tuple[Set, int], ...]:
    return situation.loads(last.session)


def _again(done: Set) -> int:
    """One fewer than was done, two fewer than at the limit."""
    at_limit = done.failed or (done.rpe is not None and done.rpe >= LIMIT_RPE)
    return max(0, done.reps - (2 if at_limit else 1))
