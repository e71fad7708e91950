"""`plimsoll steps`: every step a kit can make."""

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from bot.commands.common import Options, emit, text_of, wants_json, write
from bot.commands.loading import masses
from core.units import Unit, amount

if TYPE_CHECKING:
    from core.kit import Kit
    from core.steps import Step

MOST_GAPS = 5  # named
EXAMPLE = "  plimsoll steps --kit kit.toml --bodyweight 72.4"


def parser(name: str) -> Options:
    options = Options(name, "Every step of bands and belt, lightest first, by system mass.", EXAMPLE)
    options.add_argument("--kit", required=True, metavar="FILE", help="the kit file (TOML)")
    options.add_argument("--bodyweight", required=True, metavar="N", help="the athlete's body weight")
    options.add_argument("--unit", choices=[one.value for one in Unit], help="of the body weight; default: the kit's")
    return options


def run(options: argparse.Namespace) -> int:
    from core.kit import kit_from_toml
    from core.steps import steps

    kit = kit_from_toml(text_of(options.kit), options.kit)
    unit = kit.unit if options.unit is None else Unit(options.unit)
    (bodyweight_g,) = masses([options.bodyweight], unit, "body weight")
    found = steps(kit, bodyweight_g)
    if wants_json(options):
        emit({"steps": [step.to_json() for step in found]})
        return 0
    for step in found:
        bands = " + ".join(step.bands) or "no band"
        low, system, high = (amount(mass, unit) for mass in (step.low_g, step.system_g, step.high_g))
        write(f"{system} {unit} ({low}–{high}): {bands}, belt {amount(step.added_g, unit)} {unit}\n")
    write(_gaps(found, unit) + _changes(kit, unit))
    return 0


def _gaps(found: "Sequence[Step]", unit: Unit) -> str:
    """The widest gaps, by name."""
    from core.steps import COARSE, gaps

    wide = [
        f"{amount(gap.below.system_g, unit)}–{amount(gap.above.system_g, unit)} {unit} ({gap.share:.1%})"
        for gap in gaps(found)
    ]
    more = f" and {len(wide) - MOST_GAPS} more" if len(wide) > MOST_GAPS else ""
    return f"gaps over {COARSE:.1%}: {', '.join(wide[:MOST_GAPS]) or 'none'}{more}\n"


def _changes(kit: "Kit", unit: Unit) -> str:
    """Where one band gives way to the next, and how that will feel."""
    from core.change_over import change_overs
    from core.language import render

    return "".join(f"{render(change.phrase(), 'en', unit)}\n" for change in change_overs(kit))
