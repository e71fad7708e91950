"""The answers to offer where a message is unclear, the likeliest first; none where a guess would only mislead."""

from collections.abc import Sequence
from dataclasses import replace

from core.replies.checks import doubtful
from core.replies.draft import Drafted, Gear
from core.replies.reading import Context, Reading
from core.replies.resolve import complete
from core.units import grams

_MISLEADING = frozenset(
    (
        "unknown_unit",
        "pound_or_half_kilo",
        "hedged_load",
        "hedged_band",
        "negative_load",
        "unreadable_load",
        "bodyweight",
        "misheard_number",
        "impossible_day",
        "unknown_band",
        "piece_without_mass",
        "which_band",
        "relative_to_nothing",
        "total",
        "unexplained_load",
        "rating",
        "sets_or_load",
        "mixed_numbers",
        "number_in_brackets",
        "more_reps_or_load",
    )
)
MOST = 3


def candidates(why: str, drafted: Sequence[Drafted], literal: Reading, context: Context) -> tuple[Reading, ...]:
    """At most three readings. `literal`: the message as it stands."""
    match why:
        case "run_together" | "too_many_reps":
            found = [_read(_split(drafted), literal, context)]
        case "load_or_reps":
            found = [_read(_last_as_load(drafted, context), literal, context), literal]
        case "hedge":
            found = [_read(drafted[:-1], literal, context), _read([*drafted[:-2], *drafted[-1:]], literal, context)]
        case "reversed":
            found = [_read(_swapped(drafted), literal, context), literal]
        case "repeats_logged":
            rest = _read(drafted[len(context.logged) :], literal, context)
            found = [rest, replace(literal, mode="replace")]
        case _:
            found = [] if why in _MISLEADING else [literal]
    return tuple(one for one in found if one is not None and one.sets and _sound(one, context))[:MOST]


def _sound(reading: Reading, context: Context) -> bool:
    """A candidate may be heavier than expected, but not absurd."""
    start = len(context.logged) if reading.mode == "add" else 0
    return doubtful(reading.sets, context, start) in ("", "implausible_load")


def _read(drafted: Sequence[Drafted] | None, literal: Reading, context: Context) -> Reading | None:
    if not drafted:
        return None
    sets, doubts = complete(drafted, context)
    return None if doubts else replace(literal, sets=tuple(sets), mode="add")


def _split(drafted: Sequence[Drafted]) -> list[Drafted] | None:
    """`55 4` as 5 5 4."""
    found: list[Drafted] = []
    for one in drafted:
        digits = str(one.reps)
        if len(digits) == 1:
            found.append(one)
        elif "0" in digits or one.reps <= 10 or not one.figures:
            return None
        else:
            found += [replace(one, reps=int(digit)) for digit in digits]
    return found


def _last_as_load(drafted: Sequence[Drafted], context: Context) -> list[Drafted]:
    load = Gear(load_g=grams(drafted[-1].number, context.unit))
    return [replace(one, gear=load) for one in drafted[:-1]]


def _swapped(drafted: Sequence[Drafted]) -> list[Drafted]:
    first = drafted[0]
    return [replace(first, reps=len(drafted)) for _ in range(first.reps)]
