"""Sets named by their place: `set 2`, `S1`, `the third`, `last one`, `first two`, `1: 6`."""

from core.replies.items import Count, Noise, Position, Punct
from core.replies.view import Found, View

MOST = 30


def position(view: View) -> Found | None:
    """A place in the session; -1 is the last set."""
    at = view.skip(0, "the", "with", "on", "at") if view.number() is None else 0
    if view.has(at, "ordinal") and view.number(at) is None:
        far = int(view.term(at).meanings["ordinal"]) > MOST
        if far or view.has(-1, "till", "from", "away", "weekday"):
            return Noise("date"), at + 1
    return _last(view, at) or _worded(view, at) or _numbered(view, at) or _line_number(view)


def _last(view: View, at: int) -> Found | None:
    if not view.has(at, "last"):
        return None
    end = at + 1
    end += view.has(end, "set_noun", "sets", "one") and view.number(end) in (None, 1)
    return Position(-1, sets=end > at + 1 or len(view.term(at).raw) > 6), _past(view, end)


def _worded(view: View, at: int) -> Found | None:
    """`second one`, `3rd set`, `1. Satz`, `first two`."""
    end = at + 1
    several = view.number(at) is not None and not view.term(at).figures and view.has(at + 2, "at", "with", "was")
    if several and view.term(at + 1).meanings.get("ordinal") == 1:
        return Position(0, sets=True, first=int(view.number(at) or 0)), at + 2
    if view.has(at, "ordinal"):
        number = int(view.term(at).meanings["ordinal"])
    elif _pointed(view, at):
        number, end = int(view.number(at) or 0), at + 2
    else:
        return None
    if view.has(end, "reps", "exercise", "month"):
        return None
    many = view.number(end)
    if number == 1 and many is not None and not view.has(end, "one") and not view.term(end).figures:
        return Position(0, sets=True, first=int(many)), end + 1
    noun = view.has(end, "set_noun", "sets", "one") and view.number(end) in (None, 1)
    return Position(number - 1, sets=bool(noun)), _past(view, end + noun)


def _pointed(view: View, at: int) -> bool:
    """German `1. Satz`."""
    number = view.number(at)
    pointed = number is not None and view.term(at).figures and view.mark(at + 1, ".") and not view.term(at + 1).gap
    led = view.has(at - 1, "at", "with", "meet") and not view.has(at - 1, "date_at")
    return bool(pointed and not led and view.has(at + 2, "sets", "set_noun") and number == int(number or 0))


def _numbered(view: View, at: int) -> Found | None:
    """`set 2`, `S1`, `Satz 3:`."""
    short = view.has(at, "set_short") and not view.term(at + 1).gap
    number = view.number(at + 1)
    if not (view.has(at, "sets") or short) or number is None or number > MOST or number != int(number) or number < 1:
        return None
    plural = view.has(at, "sets_plural") and not short and not view.mark(at + 2, ":")
    if view.has(at + 2, "times") or plural:
        return None
    return Position(int(number) - 1, sets=True), _past(view, at + 2)


def _line_number(view: View) -> Found | None:
    """`1: 6` or `1) 6` where a count follows and the places run from one; `1. 6 2. 5` likewise."""
    number = view.number()
    if number is not None and view.mark(1, ".") and not view.term(1).gap and view.number(2) is not None:
        return _pointed_line(view)
    if number is None or not view.mark(1, ":", ")") or view.number(2) is None or not view.term(2).gap:
        return None
    placed = [item for item in view.before if isinstance(item, Position)]
    second = 3 + view.mark(3, "\n", ",", ";")
    opens = number == 1 and view.number(second) == 2 and view.mark(second + 1, ":", ")")
    out_of_turn = number != len(placed) + 1 or (not placed and any(isinstance(item, Count) for item in view.before))
    if out_of_turn and not opens:
        return None
    after = view.term(3)
    known = (
        (number == 1 and not after.mark and after.number is not None) or after.mark or after.has("reps", "at", "with")
    )
    return (Position(int(number) - 1, sets=True), 2) if known or after.number is not None else None


def _pointed_line(view: View) -> Found | None:
    placed = [item for item in view.before if isinstance(item, Position)]
    number = view.number()
    opens = number == 1 and not view.before and view.number(3) == 2 and view.mark(4, ".")
    goes_on = bool(placed) and number == len(placed) + 1 and isinstance(view.previous, Count)
    if number is None or not view.term(2).gap or not (opens or goes_on):
        return None
    return Position(int(number) - 1, sets=True), 2


def _past(view: View, end: int) -> int:
    return end + view.mark(end, ":")


__all__ = ["Punct", "position"]
