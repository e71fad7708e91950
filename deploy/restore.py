#!/usr/bin/env python3
"""restore.py BACKUP DATABASE: put a checked backup in the place of the database. Stop the service first.

The database that was there is kept beside it. What Telegram still holds (24 hours) comes again by itself; a session
that waited in the backup to be sent is worthless by now and is dropped, not sent.
"""

import os
import shutil
import sqlite3
import sys
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path


def sound(backup: Path) -> bool:
    try:
        with closing(sqlite3.connect(f"{backup.resolve().as_uri()}?mode=ro&immutable=1", uri=True)) as copy:
            whole = copy.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            return whole and copy.execute("SELECT count(*) FROM sqlite_master").fetchone() != (0,)
    except sqlite3.DatabaseError:
        return False


def in_use(database: Path) -> bool:
    """Whether somebody is writing: an exclusive lock cannot be had."""
    if not database.is_file():
        return False
    try:
        with closing(sqlite3.connect(database, timeout=0.5, isolation_level=None)) as there:
            there.execute("PRAGMA locking_mode = EXCLUSIVE")
            there.execute("BEGIN EXCLUSIVE")
            there.execute("ROLLBACK")
    except sqlite3.OperationalError:
        return True
    except sqlite3.DatabaseError:
        return False  # damaged: that is why it is being replaced
    return False


def restore(backup: Path, database: Path, now: datetime) -> Path | None:
    """Where the database went that was there before; None if there was none."""
    new = database.with_suffix(".restored")
    shutil.copyfile(backup, new)
    kept = database.with_name(f"{database.name}.before-{now:%Y%m%dT%H%M%SZ}") if database.exists() else None
    if kept is not None:
        owner = database.stat()
        os.chown(new, owner.st_uid, owner.st_gid)
        new.chmod(owner.st_mode & 0o777)
        for beside in ("-wal", "-shm"):
            part = database.with_name(database.name + beside)
            if part.exists():
                part.rename(kept.with_name(kept.name + beside))
        database.rename(kept)
    new.rename(database)
    return kept


def main(arguments: list[str]) -> int:
    if len(arguments) != 2:
        print(__doc__, file=sys.stderr)
        return 2
    backup, database = Path(arguments[0]), Path(arguments[1])
    if not backup.is_file() or not sound(backup):
        print(f"{backup}: not a sound backup; choose another one.", file=sys.stderr)
        return 2
    if in_use(database):
        print(f"{database}: in use; stop the service first (systemctl stop plimsoll).", file=sys.stderr)
        return 2
    kept = restore(backup, database, datetime.now(UTC))
    print(f"{database}: restored" + (f"; what was there is now {kept}" if kept else ""))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
