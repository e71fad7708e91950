"""`plimsoll check`: is everything in order?"""

import argparse
import asyncio
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING

from bot.commands.common import Options, emit, wants_json, write
from core.problems import BadInput

if TYPE_CHECKING:
    from bot.config import Settings

EXAMPLE = "  PLIMSOLL_TELEGRAM_TOKEN_FILE=/run/secrets/token plimsoll check"
OLD_BACKUP = timedelta(days=2)


@dataclass(frozen=True, slots=True)
class Finding:
    """One part and how it is: `wrong` says what to do, None where it is in order."""

    part: str
    says: str
    wrong: bool = False


def parser(name: str) -> Options:
    return Options(name, "Check settings, database, messengers, clock and backups; name what is wrong.", EXAMPLE)


def run(options: argparse.Namespace) -> int:
    from bot.config import settings

    wanted = settings()
    findings = [*_database(wanted), *_messengers(wanted), *_clock(), *_backups(wanted)]
    if wants_json(options):
        emit({"findings": [{"part": one.part, "says": one.says, "wrong": one.wrong} for one in findings]})
    else:
        write("".join(f"{'!' if one.wrong else ' '} {one.part}: {one.says}\n" for one in findings))
    for one in findings:
        if one.wrong:
            sys.stderr.write(f"{one.part}: {one.says}\n")
    return 2 if any(one.wrong for one in findings) else 0


def _database(wanted: "Settings") -> Iterator[Finding]:
    from bot.storage import Database

    database = Database(wanted.database)
    try:
        clubs = database.open().run_now(lambda tx: tx.clubs(), write=False)
        yield Finding("database", f"open and up to date, {len(clubs)} club(s)")
    except BadInput as error:
        yield Finding("database", str(error), wrong=True)
    finally:
        database.close()


def _messengers(wanted: "Settings") -> Iterator[Finding]:
    from bot.app import links, ways_of

    ways = ways_of(wanted)
    if not ways:
        yield Finding("messengers", "none is configured; “plimsoll try” needs none, “plimsoll run” needs one")
    for name, answer in asyncio.run(links(ways, "check")).items():
        if isinstance(answer, str):
            yield Finding(name, f"reached, as {answer.partition('?')[0]}")
        else:
            yield Finding(name, f"cannot be used ({answer}); check token, address and network", wrong=True)


def _clock() -> Iterator[Finding]:
    """A clock before the day this was written, or without time zones, plans nothing right."""
    from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

    now = datetime.now(UTC)
    if now < datetime(2026, 1, 1, tzinfo=UTC):
        yield Finding("clock", f"says {now:%Y-%m-%d}; set the machine's time", wrong=True)
        return
    try:
        ZoneInfo("Australia/Lord_Howe")
    except ZoneInfoNotFoundError:
        yield Finding("clock", "has no time zones; install the package tzdata", wrong=True)
        return
    yield Finding("clock", f"{now:%Y-%m-%d %H:%M} UTC, local zone {time.tzname[0]}")


def _backups(wanted: "Settings") -> Iterator[Finding]:
    if wanted.backups is None:
        yield Finding("backups", "PLIMSOLL_BACKUPS names no folder; see deploy/README.md")
        return
    files = [one for one in wanted.backups.glob("*") if one.is_file()] if wanted.backups.is_dir() else []
    newest = max((one.stat().st_mtime for one in files), default=None)
    if newest is None:
        yield Finding("backups", f"none in {wanted.backups}; run deploy/backup.py daily", wrong=True)
        return
    age = datetime.now(UTC) - datetime.fromtimestamp(newest, UTC)
    says = f"the newest is {age.total_seconds() / 3600:.0f} hours old"
    yield Finding(
        "backups", says if age < OLD_BACKUP else f"{says}; run deploy/backup.py daily", wrong=age >= OLD_BACKUP
    )
