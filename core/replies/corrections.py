"""Corrections of what is on record: `undo`, `scrap that`, `make that 5 5 5`, `second one was 6`, `that was a 9`."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.replies.draft import Draft, Drafted, Gear
from core.replies.items import Count, Placed, Position, Punct, Said, Unknown
from core.replies.reading import Context
from core.replies.resolve import complete
from core.training import Set


@dataclass(frozen=True, slots=True)
class Corrected:
    """The whole record after the correction, sets to add, or why one would ask."""

    record: tuple[Set, ...] | None = None
    added: tuple[Drafted, ...] = ()
    ask: str = ""


def corrected(placed: Sequence[Placed], draft: Draft, context: Context) -> Corrected | None:
    """None where the message corrects nothing."""
    said = [one.item for one in placed if isinstance(one.item, Said)]
    if any(isinstance(item := one.item, Punct) and item.text in "?¿" for one in placed) and not draft.sets:
        return None
    return (
        _taken_back(said, placed, draft, context)
        or _made(said, draft, context)
        or _all_geared(said, draft, context)
        or _last_mended(placed, draft, context)
        or _placed(said, draft, context)
        or _late(placed, draft, context)
    )


def _has(said: Sequence[Said], *kinds: str) -> bool:
    return any(one.has(*kinds) for one in said)


def _taken_back(said: Sequence[Said], placed: Sequence[Placed], draft: Draft, context: Context) -> Corrected | None:
    word = next((one for one in said if one.has("undo", "scrap")), None)
    if word is None or _has(said, "not", "other_person", "plan", "conditional"):
        return None
    if draft.sets:
        return (
            Corrected(ask="undo_or_report")
            if not word.has("scrap") or not context.logged
            else _made(said, draft, context, True)
        )
    if not context.logged:
        return Corrected(ask="nothing_logged")
    return Corrected(() if word.has("scrap") and not word.has("undo") else context.logged[:-1])


def _made(said: Sequence[Said], draft: Draft, context: Context, scrapped: bool = False) -> Corrected | None:
    """`make that 5 5 5`; `sorry, 5 5 4` with as many on record."""
    sets = draft.sets
    surely = _has(said, "make_that") or scrapped
    likely = _has(said, "actually") and len(sets) == len(context.logged) >= 2
    if not sets or not (surely or likely) or any(one.at is not None for one in sets):
        return None
    if not context.logged:
        return None if not surely else Corrected(ask="nothing_logged")
    if len(sets) == 1 and not scrapped:
        return Corrected((*context.logged[:-1], _mended(context.logged[-1], sets[0], context, len(context.logged) - 1)))
    kept = [_mended(one, new, context, at) for at, (one, new) in enumerate(zip(context.logged, sets, strict=False))]
    more = [] if len(sets) <= len(kept) else complete(sets[len(kept) :], context, len(kept))[0]
    return Corrected((*kept, *more))


def _mended(old: Set, new: Drafted, context: Context, at: int) -> Set:
    """The set with what is named changed and the rest kept; changed repetitions clear a failure."""
    mended = replace(old, reps=new.reps, failed=new.failed or (old.failed and new.reps == old.reps))
    if new.ratings and new.ratings[-1] is not None:
        mended = replace(mended, rpe=new.ratings[-1])
    return mended if new.gear is None else _regeared(mended, new.gear, context, at)


def _regeared(old: Set, gear: Gear, context: Context, at: int) -> Set:
    (finished,), _ = complete([Drafted(old.reps, old.reps * 1, gear=gear)], context, at)  # type: ignore[arg-type]
    bands = finished.bands if gear.bands is not None or gear.unweighted or gear.no_band or gear.some_band else old.bands
    return replace(old, added_g=finished.added_g, bands=bands)


def _last_mended(placed: Sequence[Placed], draft: Draft, context: Context) -> Corrected | None:
    """`4 not 5` behind a logged 5 mends it; `oops, 4` may mend it or be the next."""
    if len(draft.sets) != 1 or draft.sets[0].at is not None or not context.logged:
        return None
    denied = [one.item for one in placed if isinstance(one.item, Count) and one.struck == "not"]
    if any(item.number == context.logged[-1].reps for item in denied):
        at = len(context.logged) - 1
        return Corrected((*context.logged[:-1], _mended(context.logged[-1], draft.sets[0], context, at)))
    live = [one.item for one in placed if not isinstance(one.item, Punct)]
    mends = (
        len(live) == 2 and isinstance(live[0], Said) and live[0].has("slip", "actually") and isinstance(live[1], Count)
    )
    return Corrected(ask="correction_or_new") if mends else None


def _all_geared(said: Sequence[Said], draft: Draft, context: Context) -> Corrected | None:
    """`all of those were at 7.5 not 10`: a load for everything on record."""
    if draft.sets or draft.spare is None or draft.placed or draft.spare.relative is not None or not context.logged:
        return None
    if not _has(said, "each", "actually", "make_that") or not _has(
        said, "was", "not", "instead_of", "make_that", "actually"
    ):
        return None
    if not _has(said, "each") and len({(one.added_g, one.bands) for one in context.logged}) > 1:
        return Corrected(ask="which_set")
    gear = draft.spare
    return Corrected(tuple(_regeared(one, gear, context, at) for at, one in enumerate(context.logged)))


def _placed(said: Sequence[Said], draft: Draft, context: Context) -> Corrected | None:
    """Sets named by their place: corrected where logged, added where next."""
    if not draft.sets and not any(isinstance(gear, Gear) for _, gear in draft.placed):
        return _rated_place(draft, context)
    if (not context.logged and not draft.sets) or any(one.at is None for one in draft.sets):
        return None
    record = list(context.logged)
    added: list[Drafted] = []
    for drafted in draft.sets:
        at = _index(drafted.at, said, context, len(added))
        if at < len(record):
            record[at] = _mended(record[at], drafted, context, at)
        elif at == len(record) + len(added):
            added.append(drafted)
        else:
            return Corrected(ask="place")
    for position, gear in draft.placed:
        at = _index(position.at, said, context, 0, named=True)
        if not isinstance(gear, Gear) or not 0 <= at < len(record):
            return Corrected(ask="place")
        record[at] = _regeared(record[at], gear, context, at)
    return _outcome(record, added, context)


def _outcome(record: Sequence[Set], added: Sequence[Drafted], context: Context) -> Corrected:
    if not added:
        return Corrected(tuple(record))
    if tuple(record) == context.logged:
        return Corrected(added=tuple(added))
    more, _ = complete(added, context)
    return Corrected((*record, *more))


def _index(at: int | None, said: Sequence[Said], context: Context, added: int, named: bool = False) -> int:
    """The place as an index; the last one is new while a prescribed set remains, unless it is called a mistake."""
    if at != -1:
        return at if at is not None else 0
    logged, planned = len(context.logged), len(context.prescribed or ())
    mistaken = named or _has(said, "actually", "make_that", "not", "instead_of")
    return logged + added if (logged < planned and not mistaken) or not logged else logged - 1


def _rated_place(draft: Draft, context: Context) -> Corrected | None:
    if not draft.placed:
        return None
    record = list(context.logged)
    for position, rated in draft.placed:
        at = len(record) - 1 if position.at == -1 else position.at
        if not 0 <= at < len(record) or not isinstance(rated, float):
            return Corrected(ask="place")
        record[at] = replace(record[at], rpe=rated)
    return Corrected(tuple(record))


def _late(placed: Sequence[Placed], draft: Draft, context: Context) -> Corrected | None:
    """A rating alone, of the set before."""
    if draft.late is None or draft.sets or draft.spare is not None:
        return None
    if not context.logged:
        return Corrected(ask="nothing_logged")
    return Corrected((*context.logged[:-1], replace(context.logged[-1], rpe=draft.late)))


__all__ = ["Corrected", "Position", "Unknown", "corrected"]
