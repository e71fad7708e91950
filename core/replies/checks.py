"""What a sensible coach asks about before writing it down, judged on finished sets."""

from collections.abc import Sequence
from statistics import median

from core.replies.draft import Drafted
from core.replies.reading import Context
from core.replies.resolve import prescribed_at
from core.training import Set
from core.units import Unit, amount

MOST_REPS, MOST_SETS, HEAVIEST_G = 50, 20, 150_000
TIMES_PRESCRIBED_REPS, TIMES_PRESCRIBED_LOAD, OVER_G, OVER_BODYWEIGHT_G = 3, 2, 10_000, 20_000


def doubtful(sets: Sequence[Set], context: Context, start: int) -> str:
    """The first reason to ask about sets that would stand from place `start` on; "" for none. Those on record pass."""
    fresh = [(at, one) for at, one in enumerate(sets) if tuple(context.logged[start + at : start + at + 1]) != (one,)]
    if len(fresh) > MOST_SETS:
        return "too_many_sets"
    for at, one in fresh:
        planned = prescribed_at(context, start + at)
        reason = _reps(one, planned, sets) or _load(one, planned)
        if reason:
            return reason
    return ""


def _reps(one: Set, planned: Set | None, sets: Sequence[Set]) -> str:
    if one.reps > MOST_REPS:
        return "too_many_reps"
    if one.seconds is not None:
        return ""
    if planned is not None and planned.seconds is None and planned.exercise is one.exercise and planned.reps:
        return "run_together" if one.reps > TIMES_PRESCRIBED_REPS * planned.reps else ""
    others = [other.reps for other in sets if other is not one]
    far = planned is None and others and one.reps > 20 and one.reps > 4 * median(others)
    return "run_together" if far else ""


def _load(one: Set, planned: Set | None) -> str:
    if one.added_g is None:
        return ""
    if one.added_g > HEAVIEST_G:
        return "implausible_load"
    if planned is None or planned.added_g is None or planned.exercise is not one.exercise:
        return ""
    if planned.added_g == 0:
        return "implausible_load" if one.added_g > OVER_BODYWEIGHT_G else ""
    over = one.added_g > TIMES_PRESCRIBED_LOAD * planned.added_g and one.added_g > planned.added_g + OVER_G
    return "implausible_load" if over else ""


def repeats_logged(sets: Sequence[Set], context: Context) -> bool:
    """At least two sets on record said again, and more behind them."""
    on_record = [one.reps for one in context.logged]
    said = [one.reps for one in sets]
    return len(on_record) >= 2 and len(said) > len(on_record) and said[: len(on_record)] == on_record


def load_or_reps(drafted: Sequence[Drafted], sets: Sequence[Set], context: Context, start: int) -> bool:
    """`5 5 4 10` with three sets at 10 prescribed: the last number may be the load."""
    if len(drafted) < 3 or any(one.gear is not None for one in drafted) or not drafted[-1].bare:
        return False
    last, others = drafted[-1].reps, [one.reps for one in drafted[:-1]]
    planned = len(context.prescribed) - start if context.prescribed else None
    if planned is None:
        return last > 2 * max(others) or (last >= 10 and last > 1.5 * max(others) and last % 5 == 0)
    if len(drafted) <= planned:
        return False
    target = prescribed_at(context, start + len(drafted) - 2)
    usual = None if target is None or not target.added_g else amount(target.added_g, context.unit)
    return (usual is not None and usual == last) or last > max(others) + 3


def same_load(amount_typed: object, mass_g: int | None, unit: Unit) -> bool:
    """Whether a number as typed is this mass in the athlete's unit."""
    return mass_g is not None and amount(mass_g, unit) == amount_typed
