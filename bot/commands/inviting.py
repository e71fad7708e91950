"""`plimsoll invite`: a one-time code."""

import argparse
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from bot.commands.clubs import in_club, with_club
from bot.commands.common import Options, emit, wants_json, write

if TYPE_CHECKING:
    from bot.storage import Store

EXAMPLE = """  plimsoll invite Mirela
  plimsoll invite "Okko" --coach"""
VALID = timedelta(hours=48)


def parser(name: str) -> Options:
    options = Options(name, "A code that joins one chat to a member, once, within 48 hours.", EXAMPLE)
    options.add_argument("name", metavar="NAME", help="whom it is for; somebody new is added")
    options.add_argument("--coach", action="store_true", help="the code makes its user a coach")
    return with_club(options)


def run(options: argparse.Namespace) -> int:
    from bot.people import invited

    def work(store: "Store", now: datetime) -> str:
        return invited(store, options.name, options.coach, now, now + VALID)

    code = in_club(options, work, found=True)
    links = _links(code)
    if wants_json(options):
        emit({"code": code, "links": links})
    else:
        listed = "".join(f"{where}: {link}\n" for where, link in links.items())
        write(f"{code}\n{listed}good once, for 48 hours; send /start CODE or the code alone to the bot\n")
    return 0


def _links(code: str) -> dict[str, str]:
    """A link for each messenger that can be asked for one now; a network that is not there gives none."""
    from bot.app import invite_links
    from bot.config import settings

    return invite_links(settings(), code)
