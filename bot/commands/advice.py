"""`plimsoll advise`: the next session for an athlete file."""

import argparse

from bot.commands.common import Options, emit, for_each_line, object_of, text_of, wants_json, write
from core.training import Json

EXAMPLE = """  plimsoll export Mirela | plimsoll advise
  plimsoll advise --jsonl < athletes.jsonl"""


def parser(name: str) -> Options:
    options = Options(name, "Read an athlete file (JSON) on standard input; print the next session.", EXAMPLE)
    options.add_argument("--jsonl", action="store_true", help="one file a line in, one answer a line out")
    return options


def run(options: argparse.Namespace) -> int:
    if options.jsonl:
        return for_each_line(_answer)
    advice = _answer(object_of(text_of("-"), "athlete file"), "athlete file")
    if wants_json(options):
        emit(advice)
    else:
        write(_in_words(advice))
    return 0


def _answer(data: Json, where: str) -> Json:
    from core.advise import advise
    from core.files import athlete_file

    return advise(athlete_file(data, where)).to_json()


def _in_words(advice: Json) -> str:
    from bot.wording import text_of as words
    from core.conversation.wording import session
    from core.training import PrescribedSet
    from core.units import Unit

    warm_up, sets = ([PrescribedSet.from_json(one) for one in advice[part]] for part in ("warm_up", "sets"))
    return f"{advice['day']}\n{words(session(advice, sets, warm_up), 'en', Unit.KG)}\n"
