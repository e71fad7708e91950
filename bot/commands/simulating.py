"""`plimsoll simulate`: seasons of virtual athletes against the engine."""

import argparse
from pathlib import Path

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
    options.add_argument("--picture", metavar="FILE", help="draw the first athlete's season into this PNG instead")
    return options


def run(options: argparse.Namespace) -> int:
    from core.simulate import run as play
    from core.simulate.kits import KITS

    if options.kit not in KITS:
        raise refuse("--kit", f"there is no kit “{options.kit[:20]}”", f"use one of {', '.join(KITS)}")
    seed = whole(options.seed, "--seed", 0, 2**31)
    weeks = whole(options.weeks, "--weeks", 1, 520)
    if options.picture is not None:
        return draw(seed, weeks, options.kit, options.picture)
    report = play(seed, whole(options.athletes, "--athletes", 1, 2000), weeks, options.kit)
    if wants_json(options):
        emit(report.to_json())
    else:
        write("".join(f"{line}\n" for line in report.lines()))
    return 0


def draw(seed: int, weeks: int, kit: str, path: str) -> int:
    """One season as a picture, and what it shows in words."""
    from bot.pictures.season import season_png
    from core.simulate.picture import season_picture
    from core.simulate.report import one_season

    picture = season_picture(one_season(seed, weeks, kit), f"{weeks} weeks with the kit {kit}, seed {seed}")
    try:
        Path(path).write_bytes(season_png(picture))
    except OSError as error:
        reason = (error.strerror or "not writable").lower()
        raise refuse("--picture", f"{path} cannot be written ({reason})", "name a file in a folder of yours") from error
    write(f"{picture.words}\n")
    return 0


def whole(word: str, option: str, least: int, most: int) -> int:
    """A whole number within limits."""
    if not word.isdecimal() or len(word) > 12 or not least <= int(word) <= most:
        raise refuse(option, f"“{word[:20]}” is no whole number from {least} to {most}", "write one")
    return int(word)
