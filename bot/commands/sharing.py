"""`plimsoll share`: tonight's sheet for one rack and many athletes."""

import argparse

from bot.commands.common import Options, emit, object_of, text_of, wants_json, write
from core.problems import refuse
from core.training import Json
from core.units import Unit, amount

EXAMPLE = """  plimsoll share mirela.json tobin.json --kit club.toml --bars 2 --belts 2
  plimsoll export Mirela > mirela.json makes such a file."""


def parser(name: str) -> Options:
    options = Options(name, "Who hangs what in which round, from the next session of each athlete file.", EXAMPLE)
    options.add_argument("files", nargs="+", metavar="FILE", help="athlete files (JSON)")
    options.add_argument("--kit", required=True, metavar="FILE", help="the club's kit (TOML)")
    options.add_argument("--bars", default="1", metavar="N", help="how many can pull at a time")
    options.add_argument("--belts", default="1", metavar="N", help="how many belts there are")
    options.add_argument("--compare", action="store_true", help="say how far from the best it is (extra “solver”)")
    return options


def run(options: argparse.Namespace) -> int:
    from core.advise import advise
    from core.files import athlete_file
    from core.kit import kit_from_toml
    from core.rack import Guest, Room, Want, rounds_of, share

    kit = kit_from_toml(text_of(options.kit), options.kit)
    guests = []
    for path in options.files:
        advice = advise(athlete_file(object_of(text_of(path), path), path))
        wants = tuple(Want(one.added_g, one.bands) for one in advice.sets)
        if wants:
            rest = rounds_of(max(one.rest_s for one in advice.sets))
            guests.append(Guest(advice.athlete.name, wants, rest))
    if not guests:
        raise refuse("athlete files", "nobody has a session to do", "give files with a session ahead")
    room = Room(kit, _count(options.bars, "--bars"), _count(options.belts, "--belts"))
    rota = share(guests, room)
    far = None
    if options.compare:
        from core.rack.solver import distance

        far = distance(rota, tuple(guests), room).to_json()
    if wants_json(options):
        emit(rota.to_json() | ({} if far is None else {"distance": far}))
    else:
        write(sheet(rota.to_json(), kit.unit) + _how_far(far, kit.unit))
    return 0


def _how_far(far: Json | None, unit: Unit) -> str:
    """How the sheet compares with the best that a solver found in ten seconds."""
    if far is None:
        return ""
    best = "the best there is" if far["proven"] else "the best found in ten seconds"
    ours, theirs = (
        f"{amount(far[f'{who}off_g'], unit)} {unit} off, {far[f'{who}moves']} moves" for who in ("", "best_")
    )
    return f"{ours}; {best}: {theirs}\n"


def _count(word: str, option: str) -> int:
    if not word.isdecimal() or not 1 <= int(word[:4]) <= 50:
        raise refuse(option, f"“{word[:20]}” is no number from 1 to 50", "write how many there are")
    return int(word)


def sheet(rota: Json, unit: Unit) -> str:
    """One page for the wall: a round a block, a bar a line."""
    lines: list[str] = []
    last = 0
    for turn in rota["turns"]:
        if turn["round"] != last:
            lines.append(f"ROUND {turn['round']}")
        last = turn["round"]
        bands = " + ".join(turn["bands"])
        pieces = " + ".join(f"{one['count']} × {amount(one['mass_g'], unit)} {one['kind']}" for one in turn["pieces"])
        hung = f"{amount(turn['total_g'], unit)} {unit}: {pieces}" if pieces else "no weight"
        band = f", band {bands}" if bands else ""
        lines.append(f"  bar {turn['bar']}  {turn['name']}, set {turn['set']}: {hung}{band}")
    return "\n".join([*lines, f"{rota['moves']} moves in all"]) + "\n"
