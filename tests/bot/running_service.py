"""`plimsoll run` as a process of its own, against the double, on a database file that outlives it."""

import os
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from tempfile import gettempdir
from typing import Any

from bot.storage import Database, Transaction
from core.training import Athlete, Screening, Weekday

CLUB = "club"
BYTECODE = Path(gettempdir()) / f"plimsoll-bytecode-{os.getuid()}"  # without it every start takes three seconds


class Running:
    """One life of the service after another, all on one database."""

    def __init__(self, folder: Path, api: str, **env: str) -> None:
        self.url = f"sqlite:///{folder}/plimsoll.db"
        self._log = folder / "service.log"
        self._env = os.environ | {
            "PLIMSOLL_DATABASE": self.url, "PLIMSOLL_TELEGRAM_TOKEN": "1:TEST", "PLIMSOLL_TELEGRAM_API": api,
            "PLIMSOLL_LOG_LEVEL": "DEBUG", "PYTHONDONTWRITEBYTECODE": "", "PYTHONPYCACHEPREFIX": str(BYTECODE),
        } | env  # fmt: skip
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        with self._log.open("ab") as log:
            self._process = subprocess.Popen(
                [sys.executable, "-m", "bot", "run"], env=self._env, stdout=log, stderr=log
            )

    @property
    def code(self) -> int | None:
        """The exit code of a life that has ended by itself."""
        return None if self._process is None else self._process.poll()

    @property
    def alive(self) -> bool:
        return self._process is not None and self._process.poll() is None

    @property
    def pid(self) -> int:
        assert self._process is not None
        return self._process.pid

    def kill(self) -> None:
        """As a power cut would."""
        assert self._process is not None
        self._process.send_signal(signal.SIGKILL)
        self._process.wait()

    def stop(self) -> float:
        """SIGTERM; how many seconds it took to end."""
        assert self._process is not None
        start = time.monotonic()
        self._process.send_signal(signal.SIGTERM)
        self._process.wait(15)
        return time.monotonic() - start

    def ended(self) -> int | None:
        return None if self._process is None else self._process.poll()

    def log(self) -> str:
        return self._log.read_text(errors="replace")


def found(url: str, chats: list[int], trains: bool = False) -> None:
    """A club whose athletes each have a chat at Telegram; `trains`: every day is a training day."""
    days = tuple(Weekday) if trains else ()
    now = datetime.now(UTC)

    def work(tx: Transaction) -> None:
        store = tx.create_club(CLUB, "Club", "UTC", now)
        for chat in chats:
            name = f"a{chat}"
            store.add_member(Athlete(name, f"Athlete {chat}", screening=Screening.CLEAR, training_days=days))
            store.open_chat(name, "telegram", str(chat), str(chat), now)

    database = Database(url).open()
    try:
        database.run_now(work)
    finally:
        database.close()


def sets_on_record(url: str) -> dict[str, list[int]]:
    """Each athlete's repetitions in order, over all days."""
    found: dict[str, list[int]] = {}
    for member, reps in _rows(url, "SELECT member_id, reps FROM done_set ORDER BY member_id, day, position"):
        found.setdefault(member, []).append(reps)
    return found


def states(url: str, table: str) -> dict[str, int]:
    """How many rows of the inbox or the outbox are in each state."""
    assert table in ("inbox", "outbox")
    return dict(_rows(url, f"SELECT state, count(*) FROM {table} GROUP BY state"))


def _rows(url: str, query: str) -> list[tuple[Any, ...]]:
    """Read beside the service, without any of its code."""
    with closing(sqlite3.connect(f"file:{url.removeprefix('sqlite:///')}?mode=ro", uri=True)) as there:
        return there.execute(query).fetchall()
