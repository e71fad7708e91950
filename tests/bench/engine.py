"""What the engine costs: `python -m tests.bench.engine`. Prints figures and exits 1 where a promise is broken.

Ratios are of best-of runs on one core, so that a busy machine does not decide.
"""

import json
import os
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import date, timedelta

os.environ.setdefault("OMP_NUM_THREADS", "1")

from core.advise import Case, advise, prescribe
from core.files import DatedKit, athlete_file
from core.kit import kit_from_json
from core.strength import Checkpoint, Profile, estimate
from core.training import Athlete, BodyMass, PrescribedSet, Screening, Session, Set

START = date(2016, 1, 4)
MASS_G = 80_000
PER_SECOND_OF_A_MESSENGER = 30
KIT = {"unit": "kg", "belt": {"max_pieces": 5}, "plate": [{"mass": m, "count": 2} for m in (1.25, 2.5, 5, 10)]}
PLAN = tuple(PrescribedSet(5, 10_000, rest_s=180) for _ in range(4))


def history(sessions: int) -> list[Session]:
    """Three sessions a week of four fives, one of them rated, now and then one failed."""
    found = []
    for turn in range(sessions):
        last = Set(4, 10_000, failed=True) if turn % 9 == 8 else Set(5, 10_000, rpe=8.5)
        day = START + timedelta(days=7 * (turn // 3) + 2 * (turn % 3))
        found.append(Session(f"s{turn}", day, (Set(5, 10_000),) * 3 + (last,), PLAN))
    return found


def best(run: Callable[[], object], times: int) -> float:
    """Seconds of the fastest of so many runs."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        found.append(time.perf_counter() - start)
    return min(found)


def one_set() -> float:
    """Seconds for one set into the estimate, the session's share included."""
    profile, past = Profile((BodyMass(START, MASS_G),), "male"), history(30)
    return best(lambda: estimate(None, past, profile), 5) / sum(len(one.sets) for one in past)


def case(sessions: int) -> Case:
    """An athlete with so long a history, as the service holds it: a checkpoint and ten weeks."""
    past = history(sessions)
    mass = BodyMass(START, MASS_G)
    profile = Profile((mass,), "male")
    today = past[-1].day + timedelta(days=2)
    while today.weekday() not in (0, 2, 4):
        today += timedelta(days=1)
    kept = Checkpoint.from_json(json.loads(json.dumps(estimate(None, past, profile).to_json())))
    athlete = Athlete("b1", "Bench", sex="male", born=date(1990, 1, 1), screening=Screening.CLEAR)
    recent = tuple(one for one in past if one.day >= today - timedelta(days=70))
    kits = (DatedKit(None, kit_from_json(KIT, "kit")),)
    return Case(athlete, today, kept, recent, kits, (mass,))


def append(sessions: int) -> Callable[[], object]:
    """One more session into the checkpoint after so many."""
    past, profile = history(sessions + 1), Profile((BodyMass(START, MASS_G),), "male")
    kept = estimate(None, past[:-1], profile)
    return lambda: estimate(kept, past[-1:], profile)


def file_of(sessions: int) -> dict[str, object]:
    held = case(sessions)
    return {
        "athlete": held.athlete.to_json(),
        "kit": KIT,
        "bodyweights": [one.to_json() for one in held.bodyweights],
        "sessions": [one.to_json() for one in history(sessions)],
        "today": held.today.isoformat(),
    }


def import_seconds(module: str) -> float:
    """Seconds that importing takes beyond starting Python."""

    def start(code: str) -> float:
        return best(lambda: subprocess.run([sys.executable, "-c", code], check=True), 5)

    return start(f"import {module}") - start("pass")


def main() -> int:
    promises: list[tuple[str, bool]] = []
    each = one_set()
    print(f"one set into the estimate        {1e6 * each:8.0f} us")
    promises.append(("one set under a millisecond", each < 1e-3))
    month, decade = case(13), case(1560)
    pair = best(lambda: prescribe(month), 15), best(lambda: prescribe(decade), 15)
    print(f"a prescription after a month     {1e3 * pair[0]:8.1f} ms, after ten years {1e3 * pair[1]:.1f} ms")
    print(f"  ratio {pair[1] / pair[0]:.2f}")
    promises.append(("a prescription after ten years at most 1.1 of one after a month", pair[1] / pair[0] <= 1.1))
    later = best(append(1560), 30) / best(append(13), 30)
    print(f"a session appended, ten years against a month: ratio {later:.2f}")
    promises.append(("an append at most 1.1", later <= 1.1))
    data = file_of(500)
    whole = best(lambda: advise(athlete_file(data)), 3)
    print(f"advise on a file of 500 sessions {1e3 * whole:8.0f} ms")
    morning = 10_000 * pair[0]
    print(f"10,000 athletes in a morning     {morning:8.0f} s on one core, {1 / pair[0]:.0f} a second")
    promises.append(("faster than a messenger sends", 1 / pair[0] > PER_SECOND_OF_A_MESSENGER))
    for module in ("core.strength", "core.advise"):
        print(f"import {module:24} {1e3 * import_seconds(module):10.0f} ms")
    for name, kept in promises:
        print(f"{'kept  ' if kept else 'BROKEN'} {name}")
    return 0 if all(kept for _, kept in promises) else 1


if __name__ == "__main__":
    raise SystemExit(main())
