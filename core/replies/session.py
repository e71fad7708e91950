"""Whole sessions in a word: `done`, a tick, `as planned`, `same as last time`, `same again`, `set 1 ✅`."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.replies.draft import Draft, Drafted, Gear
from core.replies.items import (
    Count,
    Group,
    Item,
    Load,
    OutOf,
    Pair,
    Placed,
    Position,
    Punct,
    Said,
    Seconds,
    Times,
    Unknown,
)
from core.replies.reading import Context
from core.replies.resolve import as_prescribed, complete
from core.training import Set

_COUNTED = (Count, OutOf, Group, Times, Pair, Seconds)
_WHOLE = ("done", "as_planned", "same_last", "same_again")
_AGAINST = ("done_not", "not", "plan", "question", "other_person", "conditional", "meet", "motion")
_BARE = ("unit", "decimal")  # a mass with nothing to say that it hung from the belt
_TICK_COMPANY = ("tick", "emoji", "done", "as_planned", "done_today", "each", "sets", "exercise")


@dataclass(frozen=True, slots=True)
class Whole:
    """What a word for the whole session records: sets to add, or why one would ask."""

    sets: tuple[Set, ...] = ()
    ask: str = ""


def whole(placed: Sequence[Placed], draft: Draft, context: Context) -> Whole | None:
    """None where the message has no word for a whole session, or one that stands beside a list."""
    ticked = _ticked_places(placed, context)
    if ticked is not None:
        return ticked
    word = _word(placed)
    if word is None or any(one.at is None for one in draft.sets):
        return None
    if any(isinstance(item := one.item, Said) and item.has("undo", "scrap", "make_that") for one in placed):
        return None
    if draft.spare is not None and any(_is_bare(one) for one in placed):
        return None
    excepting = any(isinstance(item := one.item, Said) and item.has("but", "as_planned") for one in placed)
    only_last = not context.logged and all(one.at == -1 for one in draft.sets)
    if draft.sets and not excepting and not only_last:
        return None
    if word == "same_again":
        return _same_again(draft, context)
    sets = _sets(word, context)
    if sets is None:
        return Whole(ask="nothing_prescribed" if word == "done" else "no_last_session")
    return _changed(sets, draft, context)


def _is_bare(one: Placed) -> bool:
    return isinstance(one.item, Load) and one.item.by in _BARE and not one.struck


def _word(placed: Sequence[Placed]) -> str | None:
    ticks = [one for one in placed if isinstance(item := one.item, Said) and item.has("tick")]
    for one in placed:
        item = one.item
        again = isinstance(item, Said) and item.has("same_again", "same_last") and " " in item.term.raw
        if (
            isinstance(item, Said)
            and item.has(*_WHOLE)
            and _clean(placed, one.clause, again)
            and not _asked(placed, one)
        ):
            return next(kind for kind in ("same_last", "as_planned", "done", "same_again") if item.has(kind)).replace(
                "as_planned", "done"
            )
    if ticks and all(
        isinstance(one.item, Punct) or (isinstance(one.item, Said) and one.item.has(*_TICK_COMPANY)) for one in placed
    ):
        return "done"
    return None


def _asked(placed: Sequence[Placed], one: Placed) -> bool:
    return any(
        isinstance(item := other.item, Punct) and item.text in "?¿" and other.sentence == one.sentence
        for other in placed
    )


def _clean(placed: Sequence[Placed], clause: int, loosely: bool) -> bool:
    """Nothing in the clause turns the word into something else."""
    within = [one.item for one in placed if one.clause == clause]
    return not any((isinstance(item, Unknown) and not loosely) or _turns(item) for item in within)


def _turns(item: Item) -> bool:
    if not isinstance(item, Said):
        return False
    return item.has(*_AGAINST) and not item.has(*_WHOLE)


def _sets(word: str, context: Context) -> list[Set] | None:
    if word == "done":
        return (
            None
            if context.prescribed is None or not context.prescribed
            else as_prescribed(context, len(context.logged))
        )
    last = context.last
    return None if not last else [replace(one, rpe=None, failed=False) for one in last[len(context.logged) :]]


def _same_again(draft: Draft, context: Context) -> Whole | None:
    if draft.sets or (draft.spare is not None and draft.spare.relative is None):
        return None
    if not context.logged:
        return Whole(ask="nothing_logged")
    again = replace(context.logged[-1], rpe=None, failed=False)
    return _changed([again], draft, context)


def _changed(sets: list[Set], draft: Draft, context: Context) -> Whole | None:
    """The sets with what the message says otherwise: a load, a rating, `but 4 on the last`."""
    if draft.spare is not None:
        sets = [_geared(one, draft.spare, context) for one in sets]
    for drafted in draft.sets:
        at = _index(drafted, sets, context)
        if at is None:
            return None
        sets[at] = replace(sets[at], reps=drafted.reps, failed=drafted.failed)
    if draft.late is not None and sets:
        sets[-1] = replace(sets[-1], rpe=draft.late)
    for position, said in draft.placed:
        if sets and position.at == -1 and isinstance(said, Gear):
            sets[-1] = _geared(sets[-1], said, context)
        elif sets and position.at == -1 and isinstance(said, float):
            sets[-1] = replace(sets[-1], rpe=said)
    return Whole(tuple(sets))


def _index(drafted: Drafted, sets: Sequence[Set], context: Context) -> int | None:
    assert drafted.at is not None
    at = len(sets) - 1 if drafted.at == -1 else drafted.at - len(context.logged)
    return at if 0 <= at < len(sets) else None


def _geared(one: Set, gear: Gear, context: Context) -> Set:
    if gear.relative is not None:
        return one if one.added_g is None else replace(one, added_g=max(0, one.added_g + gear.relative))
    finished, _ = complete([Drafted(one.reps, one.reps * 1, gear=gear)], context)  # type: ignore[arg-type]
    return replace(one, added_g=finished[0].added_g, bands=finished[0].bands)


def _ticked_places(placed: Sequence[Placed], context: Context) -> Whole | None:
    """`set 1 ✅ set 2 ✅`: those sets as prescribed."""
    places = [item.at for one in placed if isinstance(item := one.item, Position)]
    ticks = any(isinstance(item := one.item, Said) and item.has("tick", "done") for one in placed)
    if not places or not ticks or any(isinstance(one.item, _COUNTED) for one in placed):
        return None
    if any(isinstance(one.item, Unknown) or _turns(one.item) for one in placed):
        return None
    planned = context.prescribed
    if any(isinstance(item := one.item, Position) and item.first for one in placed):
        return Whole(ask="place")
    if not planned:
        return Whole(ask="nothing_prescribed")
    next_place = len(context.logged)
    found: list[Set] = []
    for at in (len(planned) - 1 if at == -1 else at for at in places):
        if at == next_place + len(found) and at < len(planned):
            found.append(replace(planned[at], rpe=None, failed=False))
        elif at >= next_place:
            return Whole(ask="place")
    return Whole(tuple(found))
