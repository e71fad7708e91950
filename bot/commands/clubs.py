"""What the commands about a club share: its database, its store."""

import argparse
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from typing import TYPE_CHECKING, TypeVar

from bot.commands.common import Options
from core.problems import refuse

if TYPE_CHECKING:
    from bot.storage import Database, Store, Transaction

T = TypeVar("T")
FIRST_CLUB = "Club"


def with_club(options: Options) -> Options:
    """The option that every one of these commands takes."""
    options.add_argument("--club", metavar="C", help="the club's name; not needed where there is one only")
    return options


@contextmanager
def database() -> "Iterator[Database]":
    """The configured database, open and up to date."""
    from bot.config import settings
    from bot.storage import Database

    opened = Database(settings().database).open()
    try:
        yield opened
    finally:
        opened.close()


def in_club(options: argparse.Namespace, work: "Callable[[Store, datetime], T]", found: bool = False) -> T:
    """`work` on the club's store in one transaction; `found`: a club that is not there yet is founded."""

    def act(tx: "Transaction") -> T:
        now = datetime.now(UTC)
        return work(store_of(tx, options.club, now if found else None), now)

    with database() as opened:
        return opened.run_now(act)


def store_of(tx: "Transaction", wanted: str | None, founding: datetime | None = None) -> "Store":
    """The store of the club that is meant; with `founding`, a club that is not there yet is founded then."""
    clubs = tx.clubs()
    named = [one for one, name in clubs.items() if wanted is None or wanted in (name, one)]
    if len(named) == 1:
        return tx.club(named[0])
    names = ", ".join(f"“{name}”" for name in clubs.values()) or "none yet"
    if len(named) > 1:
        raise refuse("--club", f"there are several clubs: {names}", "name one of them")
    if founding is None:
        raise refuse("--club", f"there is no such club (there are: {names})", "import or invite somebody first")
    from secrets import token_hex

    return tx.create_club(token_hex(8), wanted or FIRST_CLUB, "UTC", founding)
