"""`plimsoll import`: add or update one athlete."""

import argparse
from datetime import datetime
from typing import TYPE_CHECKING

from bot.commands.clubs import in_club, with_club
from bot.commands.common import Options, emit, object_of, text_of, wants_json, write

if TYPE_CHECKING:
    from bot.storage import Store

EXAMPLE = "  plimsoll import mirela.json"


def parser(name: str) -> Options:
    options = Options(name, "Add or update one athlete from an athlete file; sessions are merged by their id.", EXAMPLE)
    options.add_argument("file", metavar="FILE", help="the athlete file (JSON); - for standard input")
    return with_club(options)


def run(options: argparse.Namespace) -> int:
    from bot.people import take_in
    from bot.planning import replan
    from core.files import athlete_file

    file = athlete_file(object_of(text_of(options.file), options.file), options.file)

    def work(store: "Store", now: datetime) -> tuple[str, ...]:
        changed = take_in(store, file, now)
        for member in store.roster() if changed else ():
            replan(store, member, now)
        if changed:
            store.note("import", None, "shell", options.file, now)
        return changed

    changed = in_club(options, work, found=True)
    if wants_json(options):
        emit({"changed": list(changed)})
    else:
        write("".join(f"{one}\n" for one in changed) or "nothing changed\n")
    return 0
