"""Numbers that are no sets: scores, hedges, totals, headers; and lists that do not look trained."""

from collections.abc import Sequence
from dataclasses import replace

from core.replies.chatter import (
    COUNTED,
    mixed,
    strangers,
    strike_bare_bands,
    strike_lone,
    strike_stray_loads,
    strike_weak,
)
from core.replies.draft import Draft
from core.replies.items import (
    Count,
    Doubt,
    Effort,
    Group,
    Header,
    Item,
    Named,
    OutOf,
    Placed,
    Punct,
    Said,
    Seconds,
    Times,
    ToFailure,
    Unknown,
    by_clause,
)
from core.replies.reading import Context
from core.replies.resolve import prescribed_at
from core.training import Exercise, Set

_OVER_PRESCRIBED = 3
_HELD = (Exercise.NEGATIVE, Exercise.HANG)


def strike_unexplained(placed: Sequence[Placed], context: Context) -> list[Placed]:
    """Without single numbers in clauses of unknown words, scores of a session, totals and hedges."""
    out = strangers(list(placed))
    out = _everywhere(out, context)
    out = _holds(out, context)
    out = _scores(out, context)
    out = _brackets(_hedges(out))
    out = _totals(out)
    out = _headers(out)
    for within in by_clause(out).values():
        strike_lone(out, within)
        strike_bare_bands(out, within)
        strike_stray_loads(out, within)
    return mixed(strike_weak(out))


def _everywhere(out: list[Placed], context: Context) -> list[Placed]:
    """`5 on all three`: as many sets as are prescribed."""
    live = [at for at, one in enumerate(out) if isinstance(one.item, COUNTED) and not one.struck]
    left = len(context.prescribed or ()) - len(context.logged)
    if len(live) != 1 or left < 2:
        return out
    at = live[0]
    item, follows = out[at].item, out[at + 1].item if at + 1 < len(out) else None
    before = [out[near].item for near in range(max(0, at - 2), at) if out[near].clause == out[at].clause]
    if isinstance(item, Count) and any(isinstance(one, Said) and one.has("each") for one in before):
        out[at - 1] = replace(out[at - 1], item=Doubt("each_or_one"))
    if isinstance(item, Count) and isinstance(follows, Said) and follows.has("each") and not _rated_beside(out, at):
        out[at] = replace(out[at], item=Group(left, item.number, stated=True))
    return out


def _rated_beside(out: Sequence[Placed], at: int) -> bool:
    return any(isinstance(one.item, Effort | ToFailure) for one in out[at + 2 : at + 4])


def _scores(out: list[Placed], context: Context) -> list[Placed]:
    """`session 9/10` is no set; `9/10` where 10 is prescribed is."""
    planned = {one.reps for one in context.prescribed or ()}
    counted = [at for at, one in enumerate(out) if isinstance(one.item, OutOf) and not one.struck]
    for at in counted:
        item = out[at].item
        if isinstance(item, OutOf) and ((item.of == 10 and 10 not in planned) or _worded_before(out, at)):
            out[at] = replace(out[at], struck="score")
    return _slashed(out, context)


def _worded_before(out: Sequence[Placed], at: int) -> bool:
    before = out[at - 1].item if at else None
    return isinstance(before, Unknown) and isinstance(item := out[at].item, OutOf) and item.of == 10


def _slashed(out: list[Placed], context: Context) -> list[Placed]:
    """`5/4` where 5 is not prescribed again is a list of two."""
    planned = {one.reps for one in context.prescribed or ()}
    live = [one.item for one in out if isinstance(one.item, OutOf) and not one.struck]
    found: list[Placed] = []
    for one in out:
        item = one.item
        if isinstance(item, OutOf) and not one.struck and len(live) == 1 and _is_list(item, planned):
            found += [replace(one, item=Count(item.number)), replace(one, item=Count(item.of))]
        else:
            found.append(one)
    return found


def _is_list(item: OutOf, planned: set[int]) -> bool:
    if not item.slash or int(item.of) in planned:
        return False
    return item.number > item.of or not planned or item.of <= max(planned)


def _holds(out: list[Placed], context: Context) -> list[Placed]:
    """Seconds belong to the hold or slow lowering named before, prescribed or logged; else they are no set."""
    named: Exercise | None = None
    planned = prescribed_at(context, len(context.logged))
    usual = next((one.exercise for one in (planned, *context.logged[-1:]) if one is not None and one.seconds), None)
    for at, one in enumerate(out):
        if one.exercise in _HELD and not one.struck:
            named = one.exercise
        if isinstance(one.item, Seconds) and one.exercise is None and not one.struck:
            hold = named if named is not None else usual
            out[at] = replace(one, struck="seconds") if hold is None else replace(one, exercise=hold)
    return out


def _hedges(out: list[Placed]) -> list[Placed]:
    """`5 or 6`, `5 bis 6 reps`, `between 5 and 6`: which?"""
    for at, one in enumerate(out):
        item = one.item
        if one.struck or not isinstance(item, Said):
            continue
        before, after = _count_near(out, at, -1), _count_near(out, at, 1)
        joins = item.has("or") and before is not None and after is not None
        spans = item.has("to", "till") and before == at - 1 and after == at + 1
        between = item.has("between") and after is not None
        if joins or spans or between or (item.has("couple") and _counts_sets(out, at)):
            out[at] = replace(one, item=Doubt("hedge"))
    return out


def _brackets(out: list[Placed]) -> list[Placed]:
    """`5(8)` may rate; `5-6` alone may be one or the other; `5 5 4 = 14` sums up."""
    live = [at for at, one in enumerate(out) if isinstance(one.item, Count) and not one.struck]
    for at in live:
        before = out[at - 1].item if at else None
        mark = before.text if isinstance(before, Punct) else ""
        tight = at >= 2 and at - 2 in live
        if (
            mark == "("
            and tight
            and isinstance(after := out[at + 1].item if at + 1 < len(out) else None, Punct)
            and after.text == ")"
        ):
            out[at] = replace(out[at], item=Doubt("number_in_brackets"))
        elif mark == "=":
            out[at] = replace(out[at], struck="total")
        elif mark == "-" and tight and len(live) == 2 and _follows_by_one(out, at):
            out[at - 1] = replace(out[at - 1], item=Doubt("hedge"))
    return out


def _follows_by_one(out: Sequence[Placed], at: int) -> bool:
    low, high = out[at - 2].item, out[at].item
    return isinstance(low, Count) and isinstance(high, Count) and high.number == low.number + 1


def _counts_sets(out: Sequence[Placed], at: int) -> bool:
    """`a couple of sets`, `a few pull-ups`: how many?"""
    follows = out[at + 1].item if at + 1 < len(out) else None
    return isinstance(follows, Named) or (isinstance(follows, Said) and follows.has("sets", "reps"))


def _count_near(out: Sequence[Placed], at: int, step: int) -> int | None:
    """The unstruck count beside, past marks and small words."""
    near = at + step
    for _ in range(3):
        if not 0 <= near < len(out):
            return None
        item: Item = out[near].item
        if isinstance(item, Count | Group):
            return None if out[near].struck and (step < 0 or out[near].struck != "question") else near
        if not isinstance(item, Punct | Said):
            return None
        near += step
    return None


def _totals(out: list[Placed]) -> list[Placed]:
    """`24 reps total` without its sets is asked about; beside them it says nothing."""
    total = next((at for at, one in enumerate(out) if isinstance(item := one.item, Said) and item.has("total")), None)
    live = [at for at, one in enumerate(out) if isinstance(one.item, Count | OutOf | Group | Times) and not one.struck]
    if total is None or not live:
        return out
    near = min(live, key=lambda at: (abs(at - total), -at))
    if not isinstance(out[near].item, Count) or not _touches(out, near, total):
        return out
    out[near] = replace(out[near], struck="total")
    if len(live) == 1:
        out[total] = replace(out[total], item=Doubt("total"), struck="")
    return out


def _touches(out: Sequence[Placed], near: int, total: int) -> bool:
    """Nothing but an exercise or small words between."""
    between = out[min(near, total) + 1 : max(near, total)]
    return len(between) <= 2 and not any(isinstance(one.item, Punct | Unknown) for one in between)


def _headers(out: list[Placed]) -> list[Placed]:
    """`of 3 sets only 2: 5 5`: the number before the colon announces the list."""
    for at, one in enumerate(out):
        if not (isinstance(one.item, Punct) and one.item.text == ":"):
            continue
        clause = [near for near in range(at) if out[near].sentence == one.sentence]
        headed = any(isinstance(out[near].item, Header) for near in clause)
        counts = [near for near in clause if isinstance(out[near].item, Count) and not out[near].struck]
        behind = [near for near in range(at + 1, len(out)) if isinstance(out[near].item, Count)]
        if headed and len(counts) == 1 and len(behind) > 1:
            out[counts[0]] = replace(out[counts[0]], struck="header")
    return out


def plausible(placed: Sequence[Placed], draft: Draft, sets: Sequence[Set], context: Context) -> bool:
    """Whether a list led by an unknown word looks like what is trained: not more than is prescribed."""
    if _torn(placed):
        return False
    for at, one in enumerate(placed):
        if at and isinstance(one.item, Count) and not one.struck and isinstance(placed[at - 1].item, Unknown):
            return _as_prescribed(sets, context)
    return True


def _torn(placed: Sequence[Placed]) -> bool:
    """`tomorrow 8 8 8, 5 5 5`: a list that counts for nothing may have taken another one along."""
    spaced = False
    last: int | None = None
    for at, one in enumerate(placed):
        if not isinstance(one.item, Count | Group):
            continue
        near = last is not None and placed[last].struck and one.struck == placed[last].struck
        between = [] if last is None else placed[last + 1 : at]
        if near and spaced and len(between) == 1 and isinstance(mark := between[0].item, Punct) and mark.text == ",":
            return True
        spaced = bool(near) and not between
        last = at
    return False


def _as_prescribed(sets: Sequence[Set], context: Context) -> bool:
    planned = context.prescribed
    if not planned:
        return len(sets) >= 3
    most = max(one.reps for one in planned)
    return len(sets) <= len(planned) + 1 and all(one.reps <= most + _OVER_PRESCRIBED - 2 for one in sets)
