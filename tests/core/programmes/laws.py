"""What every rule must keep, as functions that name the broken law: of a file and the advice on it."""

from collections.abc import Callable
from typing import Any

from core.advice import Advice
from core.files import AthleteFile, kit_on
from core.kit import Kit
from core.loading import hangable
from core.orders import OrderKind
from core.safety import Light, judge
from core.training import PrescribedSet, Session

LARGEST_STEP = 0.05  # of system mass in one session, never more; written here again on purpose
Law = Callable[[AthleteFile, Advice], str | None]
SET_KEYS = {"reps", "added_g", "bands", "rest_s", "rpe", "amrap"}


def limits_kept(file: AthleteFile, advice: Advice) -> str | None:
    limits = file.athlete.limits
    if limits.sets is not None and len(advice.sets) > limits.sets:
        return "more sets than the limit"
    every = advice.warm_up + advice.sets
    if limits.rest_s is not None and any(one.rest_s > limits.rest_s for one in every):
        return "a longer rest than the limit"
    if limits.open_sets is not None and sum(one.amrap for one in every) > limits.open_sets:
        return "more open sets than the limit"
    work = sum((one.seconds or 3 * one.reps) for one in every) + sum(one.rest_s for one in every[:-1])
    if limits.minutes is not None and work > 60 * limits.minutes:
        return "longer than the minutes"
    return None


def loadable(file: AthleteFile, advice: Advice) -> str | None:
    kit = kit_on(file.kits, advice.day) or Kit()
    totals = hangable(kit) if kit.pieces else (0,)
    labels = {band.label for band in kit.bands}
    for one, hung in zip(advice.warm_up + advice.sets, advice.hang["sets"], strict=True):
        if one.added_g not in totals or hung["total_g"] != one.added_g:
            return f"{one.added_g} g cannot be hung"
        if not set(one.bands) <= labels:
            return f"{one.bands} are not in the kit"
    return None


def reasoned(file: AthleteFile, advice: Advice) -> str | None:
    shown = advice.to_json()
    if not shown["reasons"] or not 1 <= len(shown["why"]) <= 3:
        return "no reason, or more than three sentences"
    if advice.sets and not any("medical" in one for one in shown["cautions"]):
        return "a load without a word on medicine"
    return None


def safe(file: AthleteFile, advice: Advice) -> str | None:
    verdict = judge(file.athlete, file.sessions, file.orders, advice.day)
    if verdict.light is Light.STOP and (advice.sets or advice.warm_up):
        return "sets where safety stops"
    if not verdict.maximal and any(one.amrap for one in advice.warm_up + advice.sets):
        return "an open set where nothing maximal is allowed"
    return None


def step_in_cap(file: AthleteFile, advice: Advice) -> str | None:
    """No heavier than a twentieth over the last session; a change of bands may jump where the kit has no finer step,
    the coach's own loads are the coach's."""
    last = _last(file, advice)
    if last is None or _ordered(file, advice) or _bands(last.sets) or any(one.bands for one in advice.sets):
        return None
    mass = _mass(file)
    before = max(mass + (one.added_g or 0) for one in last.sets)
    now = max((mass + one.added_g for one in advice.sets if _pulled(one)), default=0)
    return None if now <= before * (1 + LARGEST_STEP) else f"from {before} to {now} g in one session"


def no_rise_when_held(file: AthleteFile, advice: Advice) -> str | None:
    """After missed repetitions or open pain neither the load nor the repetitions at it rise."""
    last = _last(file, advice)
    if last is None or _ordered(file, advice) or _bands(last.sets) or any(one.bands for one in advice.sets):
        return None
    verdict = judge(file.athlete, file.sessions, file.orders, advice.day)
    failed = any(one.failed for one in last.sets)
    if not failed and verdict.light < Light.HOLD:
        return None
    mass = _mass(file)
    before = max(mass + (one.added_g or 0) for one in last.sets)
    now = max((mass + one.added_g for one in advice.sets if _pulled(one)), default=0)
    return None if now <= max(before, mass) else f"from {before} to {now} g in spite of a miss or pain"


def no_rise_on_a_band(file: AthleteFile, advice: Advice) -> str | None:
    """The same with bands: no more on the belt with the same bands, and no lighter help."""
    last = _last(file, advice)
    if last is None or _ordered(file, advice):
        return None
    light = judge(file.athlete, file.sessions, file.orders, advice.day).light
    if not any(one.failed for one in last.sets) and light < Light.HOLD:
        return None
    before: dict[tuple[str, ...], int] = {}
    for done in last.sets:
        if done.bands:
            before[done.bands] = max(before.get(done.bands, 0), done.added_g or 0)
    if len(before) != 1 or any(not done.bands for done in last.sets):
        return None
    for one in advice.sets:
        if _pulled(one) and (one.added_g > before.get(one.bands, 10**9) or not one.bands):
            return f"{one.bands} with {one.added_g} g in spite of a miss or pain"
    return None


def no_more_in_pain(file: AthleteFile, advice: Advice) -> str | None:
    """In pain a set fewer than last time (one at least), no more repetitions in all, and no crumbs on the belt."""
    last = _last(file, advice)
    verdict = judge(file.athlete, file.sessions, file.orders, advice.day)
    begun = any(one.day == advice.day for one in file.sessions)
    if last is None or begun or not verdict.gentle_grip or not all(_pulled(one) for one in advice.sets):
        return None
    done = [one for one in last.sets if one.added_g is not None]
    if len(advice.sets) > max(1, len(done) - 1):
        return f"{len(advice.sets)} sets after {len(done)} in spite of pain"
    before, now = sum(one.reps for one in done), sum(one.reps for one in advice.sets)
    return f"{now} repetitions after {before} in spite of pain" if now > max(before, 1) else None


def in_contract(file: AthleteFile, advice: Advice) -> str | None:
    shown = advice.to_json()
    keys = {"day", "warm_up", "sets", "hang", "estimate", "expected_reps", "reasons", "why", "cautions"}
    if set(shown) != keys or shown["day"] < file.today.isoformat():
        return "keys or day"
    if len(shown["expected_reps"]) != len(shown["sets"]):
        return "an expectation for each set"
    estimate: dict[str, Any] = shown["estimate"]
    if not 0 < estimate["low_g"] <= estimate["one_rm_g"] <= estimate["high_g"]:
        return "the estimate's interval"
    for one in shown["warm_up"] + shown["sets"]:
        if not set(one) >= SET_KEYS or one["reps"] < 1 or one["added_g"] < 0 or one["rest_s"] < 0:
            return f"a set of another form: {one}"
        if one["rpe"] is not None and not 1 <= one["rpe"] <= 10:
            return "no rating"
    return None


def _pulled(one: PrescribedSet) -> bool:
    return one.exercise.value.endswith("pull_up") or one.exercise.value == "chin_up"


def _last(file: AthleteFile, advice: Advice) -> Session | None:
    worked = [one for one in file.sessions if one.day < advice.day and any(done.reps for done in one.sets)]
    return worked[-1] if worked else None


def _mass(file: AthleteFile) -> int:
    return file.bodyweights[-1].mass_g if file.bodyweights else 72_000


def _bands(sets: tuple[Any, ...]) -> bool:
    return any(one.bands for one in sets)


def _ordered(file: AthleteFile, advice: Advice) -> bool:
    return any(one.kind is OrderKind.SET and one.in_force(advice.day) for one in file.orders)


LAWS: tuple[Law, ...] = (
    in_contract,
    reasoned,
    safe,
    limits_kept,
    loadable,
    step_in_cap,
    no_rise_when_held,
    no_rise_on_a_band,
    no_more_in_pain,
)
