"""`plimsoll erase`: everything about an athlete, gone."""

import argparse
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from bot.commands.clubs import database, store_of, with_club
from bot.commands.common import Options, emit, wants_json, write

if TYPE_CHECKING:
    from bot.storage import Transaction

EXAMPLE = "  plimsoll erase Mirela"


def parser(name: str) -> Options:
    options = Options(name, "Delete everything about an athlete, and say what was deleted.", EXAMPLE)
    options.add_argument("name", metavar="NAME", help="the athlete's name or id")
    return with_club(options)


def run(options: argparse.Namespace) -> int:
    from bot.people import member_named

    def work(tx: "Transaction") -> dict[str, int]:
        store = store_of(tx, options.club)
        return store.erase(member_named(store, options.name).id, "shell", datetime.now(UTC))

    with database() as opened:
        deleted = opened.run_now(work)
        opened.scrub()
    if wants_json(options):
        emit({"deleted": deleted})
    else:
        write("".join(f"{count} × {what}\n" for what, count in deleted.items()))
    return 0
