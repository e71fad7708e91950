"""The built wheel from an empty folder: from the checkout, `core` would shadow an installed one and hide gaps."""

import json
import os
import subprocess
import sys
from pathlib import Path
from zipfile import ZipFile

import pytest

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that holds what the wheel holds, and nothing of the checkout."""
    made = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(made), str(ROOT)]
    subprocess.run(build, check=True, capture_output=True)
    (wheel,) = made.glob("plimsoll-*.whl")
    target = made / "site"
    with ZipFile(wheel) as packed:
        packed.extractall(target)
    return target


def plimsoll(installed: Path, empty: Path, *words: str, given: str = "") -> str:
    """`plimsoll` as the wheel has it; asserts that it went well."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("PLIMSOLL_")}
    environment = kept | {"PYTHONPATH": str(installed), "PLIMSOLL_DATABASE": f"sqlite:///{empty}/club.db"}
    command = [sys.executable, "-P", "-m", "bot", *words]
    run = subprocess.run(command, input=given, text=True, capture_output=True, cwd=empty, env=environment)
    assert (run.returncode, run.stderr) == (0, "")
    return run.stdout


def test_words_migrations_and_all_are_in_the_wheel(installed: Path, tmp_path: Path) -> None:
    read = json.loads(plimsoll(installed, tmp_path, "read", given="fünf fünf vier mit 7,5\n"))
    assert [one["reps"] for one in read["sets"]] == [5, 5, 4]
    assert json.loads(plimsoll(installed, tmp_path, "invite", "Mirela"))["code"]
    told = plimsoll(installed, tmp_path, "try", given="5 5 4 at 7.5\n")
    assert "3 sets: 5, 5, 4 with 7.5 kg" in told


def test_the_wheel_names_its_command_and_no_more_packages(installed: Path) -> None:
    (facts,) = installed.glob("plimsoll-*.dist-info")
    assert "plimsoll = bot.cli:main" in (facts / "entry_points.txt").read_text()
    assert {path.name for path in installed.iterdir() if path != facts} == {"bot", "core"}
