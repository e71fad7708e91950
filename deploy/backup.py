#!/usr/bin/env python3
"""backup.py DATABASE FOLDER [KEEP]: copy a running SQLite database, check the copy, keep the last KEEP (14) of them."""

import sqlite3
import sys
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path


def backup(database: Path, folder: Path, keep: int, now: datetime) -> Path:
    """The new backup's path. The copy appears under its name only when it is whole and sound."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    target = folder / f"plimsoll-{now:%Y%m%dT%H%M%SZ}.db"
    half = target.with_suffix(".half")
    half.unlink(missing_ok=True)
    half.touch(mode=0o600)
    address = f"{database.resolve().as_uri()}?mode=rw"  # read-only cannot open one whose service is stopped
    with closing(sqlite3.connect(address, uri=True)) as source, closing(sqlite3.connect(half)) as copy:
        source.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE")  # one file, nothing beside it
        sound = copy.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    if not sound:
        half.unlink()
        raise SystemExit(f"{database}: the copy is damaged, so the database probably is; earlier backups were kept.")
    half.rename(target)
    for old in sorted(folder.glob("plimsoll-*.db"))[:-keep]:
        old.unlink()
    return target


def main(arguments: list[str]) -> int:
    if len(arguments) not in (2, 3) or (len(arguments) == 3 and not arguments[2].isdigit()):
        print(__doc__, file=sys.stderr)
        return 2
    database, keep = Path(arguments[0]), int(arguments[2]) if len(arguments) == 3 else 14
    if not database.is_file():
        print(f"{database}: there is no such database; give the path of plimsoll.db.", file=sys.stderr)
        return 2
    print(backup(database, Path(arguments[1]), max(keep, 1), datetime.now(UTC)))
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
