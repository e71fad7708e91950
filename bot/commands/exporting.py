"""`plimsoll export`: the athlete file of one athlete."""

import argparse
from datetime import datetime
from typing import TYPE_CHECKING

from bot.commands.clubs import in_club, with_club
from bot.commands.common import Options, emit
from core.training import Json

if TYPE_CHECKING:
    from bot.storage import Store

EXAMPLE = "  plimsoll export Mirela > mirela.json"


def parser(name: str) -> Options:
    options = Options(
        name, "Print the athlete file of one athlete; imported elsewhere it is the same athlete.", EXAMPLE
    )
    options.add_argument("name", metavar="NAME", help="the athlete's name or id")
    return with_club(options)


def run(options: argparse.Namespace) -> int:
    from bot.people import member_named

    def work(store: "Store", now: datetime) -> Json:
        member = member_named(store, options.name)
        return store.athlete_file(member.id, now.date()).to_json()

    emit(in_club(options, work))
    return 0
