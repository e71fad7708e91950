"""How fast replies are read: messages a second, hostile text against plain, growth with length, memory.

`python -m tests.bench.replies [messages]`: prints one line a measure; exits 1 where growth is not about linear.
"""

import json
import math
import resource
import sys
import time
from pathlib import Path

from core.replies import Context, read

CASES = Path(__file__).parent.parent / "core" / "replies" / "cases"
HOSTILE = (
    "5 ",
    "5,",
    "?",
    "5 or ",
    "x5",
    "elbow 4/10, ",
    "5@8 ",
    "amber + ",
    "no 5 ",
    "\n5",
    "(",
    "rpe 8 ",
    "12,5 ",
    "a 5 plate and ",
)
LENGTHS = (500, 1000, 2000, 4000, 8000)
MOST_GROWTH = 1.35  # exponent of time over length; linear is 1
CONTEXT = Context.from_json(
    {
        "bands": ["amber", "slate"],
        "prescribed": {"sets": [{"reps": 5, "added_g": 7500, "bands": []}] * 3},
        "today": "2026-10-05",
    }
)


def seconds(text: str, times: int = 1) -> float:
    """The fastest of three runs of `times` readings, in processor seconds a reading."""
    runs = []
    for _ in range(3):
        start = time.process_time()
        for _ in range(times):
            read(text, CONTEXT)
        runs.append((time.process_time() - start) / times)
    return min(runs)


def growth(piece: str) -> float:
    """The slope of log time over log length, by least squares."""
    points = [(math.log(length), math.log(seconds((piece * length)[:length]))) for length in LENGTHS]
    middle = sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)
    across = sum((x - middle[0]) ** 2 for x, _ in points)
    return sum((x - middle[0]) * (y - middle[1]) for x, y in points) / across


def main(messages: int) -> int:
    """Prints the measures; 0 where growth is about linear."""
    rows = [json.loads(line) for line in (CASES / "blind_en.jsonl").read_text(encoding="utf-8").splitlines()]
    pairs = [(row["text"], Context.from_json(row["context"])) for row in rows]
    start = time.process_time()
    for text, context in pairs:
        read(text, context)
    print(f"messages a second: {len(pairs) / (time.process_time() - start):.0f}")
    plain = seconds("5 5 4 at 7.5, rpe 8"[:20].ljust(20, "!"), 50)
    worst = {piece: seconds((piece * 4000)[:4000]) / plain for piece in HOSTILE}
    heaviest = max(worst, key=lambda piece: worst[piece])
    print(
        f"4,000 hostile characters cost {worst[heaviest]:.0f} times 20 plain ones (200 times the length; {heaviest!r})"
    )
    slopes = {piece: growth(piece) for piece in HOSTILE}
    steepest = max(slopes, key=lambda piece: slopes[piece])
    print(f"growth exponent: {slopes[steepest]:.2f} at most ({steepest!r})")
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    for at in range(messages):
        text, context = pairs[at % len(pairs)]
        read(f"{text} {at}", context)
    after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(f"memory over {messages} messages: {before // 1024} MB, then {after // 1024} MB")
    return 0 if slopes[steepest] <= MOST_GROWTH else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 20_000))
