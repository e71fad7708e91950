"""`plimsoll buy`: what closes the worst gaps for a budget."""

import argparse
from decimal import Decimal, InvalidOperation

from bot.commands.common import Options, emit, text_of, wants_json, write
from bot.commands.loading import masses
from core.problems import refuse
from core.training import Json
from core.units import Unit, amount

EXAMPLE = """  plimsoll buy --kit kit.toml --prices prices.toml --budget 30 --bodyweight 72 --from 0 --to 15
  A price list is a kit file whose [[plate]], [[kettlebell]], [[vest]] and [[band]] tables have a price each:
    unit = "kg"
    [[plate]]
    mass = 0.5
    price = 3.20"""


def parser(name: str) -> Options:
    options = Options(name, "The pieces that close the worst gaps between coming steps, for a budget.", EXAMPLE)
    options.add_argument("--kit", required=True, metavar="FILE", help="the kit file (TOML)")
    options.add_argument("--prices", required=True, metavar="FILE", help="the price list (TOML)")
    options.add_argument("--budget", required=True, metavar="N", help="in the money of the price list")
    options.add_argument("--bodyweight", required=True, metavar="N", help="the athlete's body weight")
    options.add_argument(
        "--from", dest="low", default="0", metavar="N", help="lightest added load of the coming months"
    )
    options.add_argument(
        "--to", dest="high", default="20", metavar="N", help="heaviest added load of the coming months"
    )
    options.add_argument("--unit", choices=[one.value for one in Unit], help="of all masses here; default: the kit's")
    return options


def run(options: argparse.Namespace) -> int:
    from core.kit import kit_from_toml
    from core.prices import offers_from_toml
    from core.purchase import Need, advise_purchase

    kit = kit_from_toml(text_of(options.kit), options.kit)
    offers = offers_from_toml(text_of(options.prices), options.prices)
    unit = kit.unit if options.unit is None else Unit(options.unit)
    (body_g,), (low_g,), (high_g,) = (
        masses([word], unit, what)
        for word, what in ((options.bodyweight, "body weight"), (options.low, "--from"), (options.high, "--to"))
    )
    if not body_g > 0 or not -body_g < low_g < high_g:
        raise refuse("--from and --to", "name no range of loads", "give --from below --to, and a body weight over 0")
    need = Need(body_g, body_g + low_g, body_g + high_g)
    answer = advise_purchase(kit, (need,), offers, _hundredths(options.budget)).to_json()
    if wants_json(options):
        emit(answer)
    else:
        write(_in_words(answer, unit))
    return 0


def _hundredths(word: str) -> int:
    try:
        budget = Decimal(word.replace(",", "."))
    except InvalidOperation:
        budget = Decimal("NaN")
    if not budget.is_finite() or not 0 <= budget < 10_000_000:
        raise refuse("--budget", f"“{word[:20]}” is no sum of money", "write a number like 30 or 29.90")
    return int(budget * 100)


def _in_words(answer: Json, unit: Unit) -> str:
    bought = [f"{one['count']} × {_named(one, unit)}" for one in answer["buy"]]
    lines = [f"buy: {', '.join(bought) or 'nothing helps'} ({answer['price']:.2f})"]
    for when in ("before", "after"):
        gaps = [
            f"{amount(one['below_g'], unit)}–{amount(one['above_g'], unit)} {unit} ({one['share']:.1%})"
            for one in answer[when][:5]
        ]
        lines.append(f"worst gaps {when}: {', '.join(gaps) or 'none over 2.5 %'}")
    return "\n".join(lines) + "\n"


def _named(one: Json, unit: Unit) -> str:
    return f"{one['label']} band" if "label" in one else f"{amount(one['mass_g'], unit)} {unit} {one['kind']}"
