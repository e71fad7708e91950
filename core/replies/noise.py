"""Numbers that are no training: times, dates, durations, prices, telephone numbers, lockers and friends."""

from decimal import Decimal

from core.replies.items import Count, Doubt, Item, Noise, OutOf, Seconds
from core.replies.view import Found, View

_PHONE_PARTS, _LONGEST_TELEPHONE = 3, 8
_ABBREVIATED = 3  # letters of `no.`
_LAST_DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def telephone(view: View) -> Found | None:
    """`0555 010 234`, `655 44 33 22`: a leading zero, or many long numbers in a row."""
    taken = 0
    while taken < _LONGEST_TELEPHONE and view.term(taken).figures:
        taken += 1
    if view.has(0, "long"):
        return Noise("long"), 1
    raw = view.term().raw
    if taken and raw.startswith("0") and len(raw) > 1 and raw.isdigit():
        return Noise("telephone"), taken
    long = [at for at in range(taken) if len(view.term(at).raw) >= 2 and view.term(at).raw.isdigit()]
    if taken >= _PHONE_PARTS and len(long) == taken and any(view.term(at).number >= 51 for at in long):  # type: ignore[operator]
        return Noise("telephone"), taken
    return None


def clock(view: View) -> Found | None:
    """`18:30`, `7:30pm`, `18h30`, `half 6`."""
    if view.has(0, "half_past") and view.number(1) is not None and view.number(1) <= 24:  # type: ignore[operator]
        return Noise("time"), 2
    if view.number() is None:
        return None
    if view.has(1, "clock_between") and view.number(2) is not None:
        return Noise("time"), 3
    between, after = view.term(1), view.term(2)
    if between.text == ":" and not between.gap and not after.gap and after.figures and len(after.text) == 2:
        return Noise("time"), 3
    if between.text == "h" and not between.gap and not view.has(-1, "plus"):
        return Noise("time"), 3 if after.figures and not after.gap else 2
    return None


def money(view: View) -> Found | None:
    """`€5`, `5 €`, `80%`, `28°`."""
    if view.mark(0, "€", "£", "$") and view.number(1) is not None:
        return Noise("money"), 2
    if view.number() is not None and view.mark(1, "€", "£", "$", "%", "°"):
        return Noise("measure"), 2
    return None


def duration(view: View) -> Found | None:
    """`3 min rest`, `90 sec`, `2-3 min`; a bare number of seconds may be a hold."""
    if view.number() is None or (view.term().decimal and view.has(1, "kg", "lb")):
        return None
    ahead = 1
    if (view.mark(1, "-") and view.number(2) is not None) or (view.has(1, "or") and view.number(2) is not None):
        ahead = 3
    number = view.number()
    if ahead == 1 and number is not None and view.has(1, "minutes") and _hold_beside(view):
        return Seconds(int(number * 60)), 2
    if view.has(ahead, "minutes"):
        after = view.skip(ahead + 1, "of")
        return Noise("minutes"), ahead + 1 + (after - ahead if view.has(after, "rest") else 0)
    glued = view.has(ahead, "set_short") and view.number(ahead + 1) is not None and not view.term(ahead + 1).gap
    sure = not view.has(ahead, "ordinal") or _holds(view) or view.term(ahead).text.endswith("s")
    if view.has(ahead, "seconds") and sure and not glued:
        return _seconds(view, ahead)
    return None


def _seconds(view: View, ahead: int) -> Found | None:
    glued_plural = view.term(ahead).text == "s" and not view.term(ahead).gap
    number = view.number()
    assert number is not None
    if glued_plural and view.has(ahead + 1, "times"):
        return None
    after = view.skip(ahead + 1, "of", "the")
    if view.has(after, "rest"):
        return Noise("rest"), after + 1
    if glued_plural and number <= 20 and not _holds(view):
        return Noise("plural"), ahead + 1
    return (Seconds(int(number)), ahead + 1) if ahead == 1 else (Noise("seconds"), ahead + 1)


def _hold_beside(view: View) -> bool:
    """A hang just before or behind."""
    near = (view.term(-1), view.term(-2), view.term(2), view.term(3))
    return any(term.meanings.get("exercise") == "hang" for term in near)


def _holds(view: View) -> bool:
    """Whether the message speaks of holds or slow lowerings."""
    return any(term.meanings.get("exercise") in ("hang", "negative") for term in view.terms)


def measured(view: View) -> Found | None:
    """`10 km`, `41 years`, `2 coffees`, `bus 46`: a number that counts or names something else."""
    if view.number() is not None:
        if view.has(1, "units_after") or (view.has(0, "counted") and view.has(1, "numbered")):
            return Noise("measure"), 2
        joined = view.mark(1, ",", "-") or view.has(1, "or", "to")
        if joined and view.number(2) is not None and view.has(3, "things", "units_after") and not _in_list(view):
            return Noise("things"), 4
        if _ordinal(view):
            return Noise("ordinal"), 2
        if view.has(1, "things") and not _in_list(view):
            return Noise("things"), 2
        if view.has(1, "article", "of") and view.has(2, "things") and not _in_list(view):
            return Noise("things"), 3
        return None
    if view.has(0, "numbered"):
        return _named_number(view)
    return None


def _ordinal(view: View) -> bool:
    """German `im 3. Stock`, `Zimmer 12, 3. Stock`: a number with a point inside a phrase, not at a sentence's end."""
    follows = view.term(2)
    tight = view.mark(1, ".") and not view.term(1).gap and view.term().figures
    if not tight or follows.mark or follows.number is not None or _in_list(view) or follows.has("then"):
        return False
    behind = view.before[-2] if len(view.before) > 1 else None
    listed = view.mark(-1, ",") and isinstance(behind, Noise) and view.has(2, "numbered", "units_after")
    return listed or view.has(-1, "date_at") or (view.has(-1, "the", "on") and not view.has(-1, "and"))


def _named_number(view: View) -> Found | None:
    """`locker 554`, `week 6`, `bus is the 46`."""
    ahead = 1
    while ahead < 4 and (view.has(ahead, "was", "the", "at", "of", "about") or _numbering(view, ahead)):
        ahead += 1
    if view.number(ahead) is None or view.mark(ahead + 1, "x", "@") or view.has(ahead + 1, "times"):
        return None
    ahead += 1
    while _continues(view, ahead):
        ahead += 1 if view.number(ahead) is not None else 2
    return Noise("named"), ahead


def _numbering(view: View, ahead: int) -> bool:
    """`no. 5`, `locker: 5`, `n° 5`."""
    short = view.mark(ahead, ".") and len(view.term().text) <= _ABBREVIATED and not view.term(ahead).gap
    return short or view.mark(ahead, ":", "#", "°")


def _continues(view: View, ahead: int) -> bool:
    """`ticket 7-7-6`, `motivation 3/10`, `call 655 44 33`: more of the same number."""
    if view.mark(ahead, "-", "/", ".") and not view.term(ahead).gap and view.number(ahead + 1) is not None:
        return not view.term(ahead + 1).gap
    return view.term(ahead).figures and len(view.term(ahead - 1).raw) >= 2 and len(view.term(ahead).raw) >= 2


def _in_list(view: View) -> bool:
    previous: Item | None = view.previous
    return isinstance(previous, Count | OutOf)


def calendar(view: View) -> Found | None:
    """`12 October`, `Oct 12`, `the 14/11`, `12.10.`; the days themselves are read elsewhere."""
    if view.has(0, "month") and (view.number(1) is not None or view.has(1, "ordinal")):
        return _dated(view, 1, 0), 2
    if view.number() is None and not view.has(0, "ordinal"):
        return None
    ahead = 1 if not view.mark(1, ".") else 2
    ahead = view.skip(ahead, "of")
    if view.has(ahead, "month") and not view.has(ahead, "number"):
        return _dated(view, 0, ahead), ahead + 1
    return _figures(view)


def _dated(view: View, day: int, month: int) -> Item:
    """A date; one that no calendar has is asked about."""
    number = view.term(day).meanings.get("ordinal", view.number(day))
    last = _LAST_DAYS[int(view.term(month).meanings["month"])]
    return Noise("date") if number is None or number <= last else Doubt("impossible_day")


def _figures(view: View) -> Found | None:
    """Day and month in figures, where an article or a second point says so."""
    first, third = view.number(), view.number(2)
    if first is None:
        return None
    dated = view.has(-1, "the", "date_at")
    if view.mark(1, "/") and third is not None and dated and first <= 31 and third <= 12:
        return Noise("date"), 3
    parts = str(first).split(".")
    if len(parts) == 2 and 1 <= int(parts[0]) <= 31 and 1 <= int(parts[1]) <= 12 and view.mark(1, "."):
        follows = view.term(2)
        if not view.term(1).gap and follows is not None and (dated or view.has(2, "till", "to")):
            return Noise("date"), 2
    return None


def small(number: Decimal | None, most: int) -> bool:
    """A whole number from 0 to `most`."""
    return number is not None and 0 <= number <= most and number == number.to_integral_value()
