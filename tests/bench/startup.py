"""How quickly the command answers, beside `import sqlalchemy` in the same run: `python -m tests.bench.startup`.

Medians of several whole processes, bytecode compiled first, so that an installed command is what is measured.
"""

import compileall
import subprocess
import sys
import time
from pathlib import Path
from statistics import median

ROOT = Path(__file__).parent.parent.parent
RUNS = 9
CALLS = {
    "import sqlalchemy": ([sys.executable, "-c", "import sqlalchemy"], b""),
    "plimsoll --help": ([sys.executable, "-m", "bot", "--help"], b""),
    "plimsoll read": ([sys.executable, "-m", "bot", "read"], b"5 5 4 at 7.5\n"),
    "plimsoll load --help": ([sys.executable, "-m", "bot", "load", "--help"], b""),
}


def seconds(command: list[str], given: bytes) -> float:
    """Wall time of one process."""
    start = time.perf_counter()
    subprocess.run(command, input=given, check=True, capture_output=True, cwd=ROOT)
    return time.perf_counter() - start


def main() -> None:
    for room in ("bot", "core"):
        compileall.compile_dir(ROOT / room, quiet=1)
    taken: dict[str, list[float]] = {name: [] for name in CALLS}
    for _ in range(RUNS):
        for name, (command, given) in CALLS.items():
            taken[name].append(seconds(command, given))
    base = median(taken["import sqlalchemy"])
    for name, times in taken.items():
        print(f"{name:<22} {median(times):6.3f} s  {median(times) / base:5.2f} × import sqlalchemy")


if __name__ == "__main__":
    main()
