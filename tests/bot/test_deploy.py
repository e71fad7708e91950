"""The files that a coach copies: scripts are run, the unit is read for what it must hold."""

import configparser
import re
import sqlite3
import stat
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

DEPLOY = Path(__file__).parents[2] / "deploy"
LOOPHOLES = {"ProtectSystem": "strict", "NoNewPrivileges": "yes", "ProtectHome": "yes", "CapabilityBoundingSet": ""}


def run(script: str, *arguments: object) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, str(DEPLOY / script), *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def made(path: Path, rows: int) -> sqlite3.Connection:
    """An open database as the service has it."""
    there = sqlite3.connect(path, isolation_level=None)
    there.execute("PRAGMA journal_mode = WAL")
    there.execute("CREATE TABLE IF NOT EXISTS told (n INTEGER)")
    there.executemany("INSERT INTO told VALUES (?)", [(n,) for n in range(rows)])
    return there


def count(path: Path) -> int:
    with closing(sqlite3.connect(path)) as there:
        return int(there.execute("SELECT count(*) FROM told").fetchone()[0])


def test_a_running_database_is_copied_with_what_is_only_in_its_log(tmp_path: Path) -> None:
    with closing(made(tmp_path / "plimsoll.db", 7)):
        done = run("backup.py", tmp_path / "plimsoll.db", tmp_path / "kept")
    assert done.returncode == 0, done.stderr
    copy = Path(done.stdout.strip())
    assert count(copy) == 7
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    assert [path.name for path in copy.parent.iterdir()] == [copy.name]


def test_only_the_last_backups_are_kept(tmp_path: Path) -> None:
    made(tmp_path / "plimsoll.db", 1).close()
    kept = tmp_path / "kept"
    kept.mkdir()
    for day in range(1, 6):
        (kept / f"plimsoll-2026010{day}T000000Z.db").touch()
    (kept / "other.db").touch()
    assert run("backup.py", tmp_path / "plimsoll.db", kept, 3).returncode == 0
    names = sorted(path.name for path in kept.iterdir())
    assert names[:3] == ["other.db", "plimsoll-20260104T000000Z.db", "plimsoll-20260105T000000Z.db"]
    assert len(names) == 4


def test_a_backup_is_restored_and_what_was_there_is_kept(tmp_path: Path) -> None:
    database = tmp_path / "plimsoll.db"
    made(database, 2).close()
    backup = Path(run("backup.py", database, tmp_path / "kept").stdout.strip())
    with closing(made(database, 5)):
        refused = run("restore.py", backup, database)  # somebody has it open, even if idle
    assert refused.returncode == 2
    assert "stop the service" in refused.stderr
    assert count(database) == 7
    done = run("restore.py", backup, database)
    assert done.returncode == 0, done.stderr
    assert count(database) == 2
    before = next(
        path for path in tmp_path.iterdir() if ".before-" in path.name and not path.name.endswith(("wal", "shm"))
    )
    assert count(before) == 7


def test_restoring_to_an_empty_place(tmp_path: Path) -> None:
    made(tmp_path / "a.db", 3).close()
    assert run("restore.py", tmp_path / "a.db", tmp_path / "b.db").returncode == 0
    assert count(tmp_path / "b.db") == 3


@pytest.mark.parametrize("content", [b"", b"no database at all", b"SQLite format 3\0" + b"\xff" * 5000])
def test_a_damaged_backup_is_refused(tmp_path: Path, content: bytes) -> None:
    made(tmp_path / "plimsoll.db", 1).close()
    (tmp_path / "bad.db").write_bytes(content)
    done = run("restore.py", tmp_path / "bad.db", tmp_path / "plimsoll.db")
    assert (done.returncode, count(tmp_path / "plimsoll.db")) == (2, 1)
    assert "not a sound backup" in done.stderr


@pytest.mark.parametrize(
    ("script", "arguments"), [("backup.py", ["/no/such.db", "/tmp"]), ("backup.py", []), ("restore.py", ["x"])]
)
def test_bad_arguments_are_one_sentence(script: str, arguments: list[str]) -> None:
    done = run(script, *arguments)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert done.stderr.strip()


def unit() -> configparser.ConfigParser:
    parser = configparser.ConfigParser(strict=False, interpolation=None, comment_prefixes=("#",))
    parser.optionxform = str  # type: ignore[assignment,method-assign]
    parser.read_string((DEPLOY / "plimsoll.service").read_text())
    return parser


def test_the_unit_is_hardened_and_hands_the_token_over_as_a_credential() -> None:
    service = unit()["Service"]
    assert {key: service[key] for key in LOOPHOLES} == LOOPHOLES
    assert service["LoadCredential"].startswith("telegram-token:")
    assert int(service["TimeoutStopSec"]) >= 10  # what `plimsoll run` may take


def test_no_secret_stands_in_the_settings_and_every_name_is_ours() -> None:
    text = (DEPLOY / "settings.env").read_text()
    names = re.findall(r"^#?([A-Z_]+)=", text, re.MULTILINE)
    assert names
    assert all(name.startswith("PLIMSOLL_") for name in names)
    assert all(name.endswith("_FILE") for name in names if re.search("TOKEN|PASSWORD|SECRET", name))


def test_the_readme_names_files_that_are_there() -> None:
    text = (DEPLOY / "README.md").read_text()
    named = set(re.findall(r"deploy/([\w.]+\w)", text))
    assert {"backup.py", "restore.py", "settings.env", "plimsoll.service"} <= named
    assert all((DEPLOY / name).exists() for name in named)
    assert len(text.splitlines()) <= 45  # one screen
