"""Drafted sets completed from the context: loads, bands and exercise that the message leaves unsaid."""

from collections.abc import Sequence
from dataclasses import replace

from core.replies.draft import Drafted, Gear
from core.replies.exercises import PULLS, trained
from core.replies.reading import Context
from core.training import Exercise, Set
from core.units import half_steps

NOTHING = Gear()


def complete(drafted: Sequence[Drafted], context: Context, start: int | None = None) -> tuple[list[Set], list[str]]:
    """The sets, and why one would ask. `start`: sets on record before the first of these; None: all logged."""
    done = list(context.logged if start is None else context.logged[:start])
    before = len(done)
    doubts: list[str] = []
    settled: dict[int, Gear] = {}
    for draft in drafted:
        if draft.gear is not None and draft.gear.relative is not None:
            draft = replace(draft, gear=settled.setdefault(id(draft.gear), _absolute(draft.gear, done)))
        finished, doubt = _one(draft, done, before, context)
        done.append(finished)
        doubts += [doubt] if doubt else []
    return done[before:], doubts


def prescribed_at(context: Context, at: int) -> Set | None:
    """What is prescribed for the set at this place; the last prescribed set's for sets beyond."""
    planned = context.prescribed
    return planned[min(at, len(planned) - 1)] if planned else None


def _one(draft: Drafted, done: Sequence[Set], logged: int, context: Context) -> tuple[Set, str]:
    at = len(done)
    exercise = _exercise(draft, done, at, context)
    inherited = _inherited(done, logged, at, exercise, context)
    added, bands, doubt = _geared(draft.gear or NOTHING, inherited, at, context)
    rating = draft.ratings[-1] if draft.ratings else None
    rpe = None if rating is None else half_steps(rating)
    finished = Set(draft.reps, added, bands, rpe, draft.failed, exercise, draft.seconds)
    return finished, doubt


def _exercise(draft: Drafted, done: Sequence[Set], at: int, context: Context) -> Exercise:
    if draft.exercise is not None:
        return draft.exercise
    planned = prescribed_at(context, at)
    if draft.seconds is not None:
        return planned.exercise if planned is not None else Exercise.HANG
    if done:
        return done[-1].exercise
    return planned.exercise if planned is not None else Exercise.PULL_UP


def _inherited(
    done: Sequence[Set], logged: int, at: int, exercise: Exercise, context: Context
) -> tuple[int | None, tuple[str, ...] | None]:
    """Load and bands where the message names neither."""
    planned = prescribed_at(context, at)
    if logged:
        last = done[logged - 1]
        then = prescribed_at(context, logged - 1)
        if _alike(last.exercise, exercise) and _goes_on(last, then, planned):
            return last.added_g, last.bands
    if planned is not None and _alike(planned.exercise, exercise):
        return planned.added_g, planned.bands
    return None, None


def _goes_on(last: Set, then: Set | None, planned: Set | None) -> bool:
    """Whether a change of load on record holds for the next set too."""
    if then is None or planned is None:
        return True
    differs = last.added_g is not None and (last.added_g, last.bands) != (then.added_g, then.bands)
    return differs and (planned.added_g, planned.bands) == (then.added_g, then.bands)


def _alike(one: Exercise, other: Exercise) -> bool:
    return one is other or (one in PULLS and other in PULLS)


def _geared(
    gear: Gear, inherited: tuple[int | None, tuple[str, ...] | None], at: int, context: Context
) -> tuple[int | None, tuple[str, ...] | None, str]:
    added, bands = inherited
    if gear.relative is not None:
        return added, bands, "relative_to_nothing"
    if gear.load_g is not None and gear.load_g < 0:
        return added, bands, "negative_load"
    named, doubt = _bands(gear, at, context)
    if gear.load_g is not None:
        planned = prescribed_at(context, at)
        today = any(one.bands for one in context.prescribed or ())
        other = (planned.bands if planned is not None and today else ()) or ()
        return gear.load_g, named if named is not None else () if gear.unweighted else other, doubt
    if gear.unweighted:
        return 0, named if named is not None else (), doubt
    if named is None:
        return added, bands, doubt
    return (added if gear.no_band else 0), named, doubt


def _bands(gear: Gear, at: int, context: Context) -> tuple[tuple[str, ...] | None, str]:
    if gear.bands is not None:
        return gear.bands, ""
    if gear.no_band:
        return (), ""
    if not gear.some_band:
        return None, ""
    planned = prescribed_at(context, at)
    if planned is not None and planned.bands:
        return planned.bands, ""
    if len(context.bands) == 1:
        return (context.bands[0],), ""
    return (), "which_band"


def _absolute(gear: Gear, done: Sequence[Set]) -> Gear:
    """`2.5 more` against the set before the first one it holds for."""
    if not done or done[-1].added_g is None or gear.relative is None:
        return gear
    return replace(gear, load_g=done[-1].added_g + gear.relative, bands=gear.bands or done[-1].bands, relative=None)


def as_prescribed(context: Context, start: int) -> list[Set]:
    """The prescribed sets from place `start` on, as if done, unrated."""
    return [replace(one, rpe=None, failed=False) for one in (context.prescribed or ())[start:]]


__all__ = ["as_prescribed", "complete", "prescribed_at", "trained"]
