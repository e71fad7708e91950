"""`plimsoll read`: what a message says."""

import argparse

from bot.commands.common import Options, emit, for_each_line, lines, object_of, text_of
from core.problems import refuse
from core.training import Json

EXAMPLE = """  echo '5 5 4 at 7.5' | plimsoll read
  echo '{"text": "5 5 4", "context": {"unit": "lb"}}' | plimsoll read --jsonl
  A literal \\n inside a line stands for a line break."""


def parser(name: str) -> Options:
    options = Options(name, "Read one message a line on standard input; print one JSON object a line.", EXAMPLE)
    options.add_argument("--context", metavar="FILE", help="one context (JSON) for all lines")
    options.add_argument("--jsonl", action="store_true", help='take {"text": …, "context": …} a line instead')
    return options


def run(options: argparse.Namespace) -> int:
    from core.replies import Context, read

    if options.jsonl:
        return for_each_line(_answer)
    context = Context.from_json(object_of(text_of(options.context), options.context) if options.context else {})
    for _, text in lines():
        emit(read(text.replace("\\n", "\n"), context).to_json())
    return 0


def _answer(question: Json, where: str) -> Json:
    from core.replies import Context, read

    text, context = question.get("text"), question.get("context", {})
    if not isinstance(text, str):
        raise refuse(where, "“text” is missing or no string", 'write {"text": "5 5 4", "context": {…}}')
    if context is not None and not isinstance(context, dict):
        raise refuse(where, "“context” is no JSON object", 'write {"text": "5 5 4", "context": {…}}')
    return read(text, Context.from_json(context or {})).to_json()
