"""`plimsoll simulate`: seasons of virtual athletes against the engine."""

import argparse

from bot.commands.common import Options, emit, wants_json, write
from core.problems import refuse

EXAMPLE = "  plimsoll simulate --athletes 20 --weeks 12 --kit micro --seed 7"


def parser(name: str) -> Options:
    purpose = "Virtual athletes, whose truth the engine does not know, under it, two human rules, and an oracle."
    options = Options(name, purpose, EXAMPLE)
    options.add_argument("--athletes", default="12", metavar="N", help="how many (default 12)")
    options.add_argument("--weeks", default="12", metavar="N", help="how long (default 12)")
    options.add_argument("--seed", default="1", metavar="N", help="the same seed gives the same seasons")
    options.add_argument("--kit", default="micro", metavar="NAME", help="micro, coarse or bands")
    return options


def run(options: argparse.Namespace) -> int:
    from core.simulate import run as play
    from core.simulate.kits import KITS

    if options.kit not in KITS:
        raise refuse("--kit", f"there is no kit “{options.kit[:20]}”", f"use one of {', '.join(KITS)}")
    seed = whole(options.seed, "--seed", 0, 2**31)
    report = play(
        seed, whole(options.athletes, "--athletes", 1, 2000), whole(options.weeks, "--weeks", 1, 520), options.kit
    )
    if wants_json(options):
        emit(report.to_json())
    else:
        write("".join(f"{line}\n" for line in report.lines()))
    return 0


def whole(word: str, option: str, least: int, most: int) -> int:
    """A whole number within limits."""
    if not word.isdecimal() or len(word) > 12 or not least <= int(word) <= most:
        raise refuse(option, f"“{word[:20]}” is no whole number from {least} to {most}", "write one")
    return int(word)
