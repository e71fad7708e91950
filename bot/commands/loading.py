"""`plimsoll load`: what to hang."""

import argparse
import sys
from decimal import Decimal, InvalidOperation

from bot.commands.common import Options, emit, text_of, wants_json, write
from core.problems import BadInput, Problem
from core.units import Unit, amount, grams

EXAMPLE = """  plimsoll load 0 5 7.5 7.5 7.5 --kit kit.toml
  plimsoll load 25 --kit kit.toml --unit lb"""


def parser(name: str) -> Options:
    options = Options(name, "What to hang for each target, with the fewest moves over the session.", EXAMPLE)
    options.add_argument("targets", nargs="+", metavar="TARGET", help="one added load a set, in order")
    options.add_argument("--kit", required=True, metavar="FILE", help="the kit file (TOML)")
    options.add_argument("--unit", choices=[one.value for one in Unit], help="of the targets; default: the kit's")
    return options


def run(options: argparse.Namespace) -> int:
    from core.kit import kit_from_toml
    from core.loading import Hang, load, short_of

    kit = kit_from_toml(text_of(options.kit), options.kit)
    unit = kit.unit if options.unit is None else Unit(options.unit)
    hang: Hang = load(masses(options.targets, unit, "target"), kit)
    if wants_json(options):
        emit(hang.to_json())
    else:
        write(_in_words(hang.to_json(), unit))
    for short in short_of(hang, kit):
        sys.stderr.write(f"{short}\n")
    return 0


def masses(words: list[str], unit: Unit, what: str) -> list[int]:
    """Typed masses in grams; every word that is no number is named."""
    found, problems = [], []
    for place, word in enumerate(words, start=1):
        try:
            number = Decimal(word.replace(",", "."))
        except InvalidOperation:
            number = Decimal("NaN")
        if number.is_finite() and abs(number) < 10_000:
            found.append(grams(number, unit))
        else:
            problems.append(Problem(f"{what} {place}", f"“{word[:20]}” is no mass", "write a number like 7.5"))
    if problems:
        raise BadInput(problems)
    return found


def _in_words(hang: dict[str, object], unit: Unit) -> str:
    from core.conversation.wording import pieces
    from core.language import render

    sets: list[dict[str, object]] = hang["sets"]  # type: ignore[assignment]
    lines = [
        f"set {place}: {render(pieces(one), 'en', unit)} = {amount(int(str(one['total_g'])), unit)} {unit}"
        for place, one in enumerate(sets, start=1)
    ]
    return "\n".join([*lines, f"{hang['moves']} moves"]) + "\n"
