"""Sets times repetitions: `3x5`, `3 sets of 5`, `5 reps x 3 sets`, `3x5x7.5`, `10kg x 5`."""

from decimal import Decimal

from core.replies.items import Count, Doubt, Group, Header, Load, Noise, Pair, Said, Times, Unweighted
from core.replies.view import END, Found, View, mass_at


def crossed(view: View) -> Found | None:
    """Number x number, with words for sets and repetitions, a unit or a decimal where they stand."""
    left = _side(view, 0)
    if left is None or not view.has(left[1], "times"):
        return _leading_cross(view)
    right = _side(view, left[1] + 1)
    if right is None:
        return None
    third = _third(view, right[1])
    taken = right[1] if third is None else third[1]
    return _meaning(left[0], right[0], None if third is None else third[0]), taken


Side = tuple[str, Decimal, Load | None]


def _side(view: View, ahead: int) -> tuple[Side, int] | None:
    """One side of a cross: what it is surely ("sets", "reps", "load" or ""), its number, and where it ends."""
    if view.has(ahead, "bodyweight", "unweighted"):
        return ("bodyweight", Decimal(0), None), ahead + 1
    mass = mass_at(view, ahead)
    if mass is None:
        return None
    end = ahead + mass.taken
    load = Load(mass.mass_g, mass.amount, "unit", mass.unit_said)
    if mass.unit_said or (view.term(ahead).decimal and not view.has(end, "reps")):
        return ("load", mass.amount, load), end
    if view.has(end, "sets") or (view.has(end, "set_short") and not view.term(end).gap):
        return ("sets", mass.amount, None), end + 1
    if view.has(end, "reps"):
        return ("reps", mass.amount, None), end + 1
    return ("", mass.amount, load), end


def _third(view: View, at: int) -> tuple[Load, int] | None:
    if not view.has(at, "times"):
        return None
    mass = mass_at(view, at + 1)
    if mass is None:
        return None
    return Load(mass.mass_g, mass.amount, "unit", mass.unit_said), at + 1 + mass.taken


def _meaning(left: Side, right: Side, third: Load | None) -> Pair | Group | Times | Doubt:
    for one, other in ((left, right), (right, left)):
        if one[0] == "load" and third is not None:
            return Doubt("sets_or_load")
        if one[0] == "load":
            return Times(one[2], other[1])
        if one[0] == "bodyweight":
            return Times(Unweighted(), other[1])
    if left[0] == "reps" or right[0] == "sets":
        return Group(int(right[1]), left[1], stated=True)
    if left[0] == "sets" or right[0] == "reps":
        return Group(int(left[1]), right[1], stated=left[0] == "sets")
    return Pair(left[1], right[1], third)


def _leading_cross(view: View) -> Found | None:
    """`x5` behind a load, and `@ bw x 8`."""
    if view.has(0, "times") and view.number(1) is not None and isinstance(view.previous, Load | Unweighted):
        return Times(None, view.number(1) or Decimal(0)), 2
    return None


def sets_of(view: View) -> Found | None:
    """`3 sets of 5`, `3 Sätze mit je 5`, `5 reps, 3 sets`, `one of 4`, `three triples`."""
    number = _whole(view, 0)
    if number is None:
        return None
    if view.has(1, "sets"):
        return _after_sets(view, number)
    if view.has(1, "reps"):
        return _reps_then_sets(view, number)
    if view.has(0, "n_times") and _whole(view, 1) is not None:
        return Group(int(number), _whole(view, 1) or Decimal(0), stated=True), 2
    if view.has(1, "each_of", "of") and _whole(view, 2) is not None and _lists_groups(view, number):
        return Group(int(number), _whole(view, 2) or Decimal(0), stated=True), 3
    if view.has(1, "each_of", "of") and _whole(view, 2) is not None and (planned := _of_planned(view, number)):
        return planned
    if not view.term(0).figures and view.term(1).figures and view.has(2, "set_short") and not view.term(2).gap:
        return Group(int(number), view.number(1) or Decimal(0), stated=True), 3
    if view.has(1, "fixed_sets") and not view.has(0, "fixed_sets"):
        return Group(int(number), view.term(1).number or Decimal(0), stated=True), 2
    if _counted(view, 1) and not view.term(0).figures | view.has(0, "counted"):
        return Group(int(number), view.number(1) or Decimal(0), stated=True), 2
    return None


def _of_planned(view: View, number: Decimal) -> Found | None:
    """Spoken `tres de cinco con siete y medio`: as many sets as are prescribed, each with the load."""
    planned = view.context.prescribed
    loaded = view.has(3, "at", "with") and mass_at(view, 4) is not None
    several = number > 1 and (planned is None or len(planned) == number)
    if not loaded or not several or view.term().figures or view.term(2).figures:
        return None
    return Group(int(number), _whole(view, 2) or Decimal(0), stated=True), 3


def stopped(view: View) -> Found | None:
    """`stopped at 3`, `bei 3 aufgehört`: the repetitions of a set that ended there."""
    if view.has(0, "at") and view.has(2, "stopped") and view.number(1) is not None:
        return Said(view.term()), 1
    number, behind = view.number(), view.has(1, "stopped") and view.has(-1, "at")
    if number is None or not (behind or view.has(-1, "stopped_at")):
        return None
    end = 1 + behind + view.has(1, "reps")
    if view.term().decimal or view.term().pair is not None or view.mark(end, ":", "%", "/"):
        return None
    if view.has(end, "sets", "kg", "lb", "minutes", "seconds", "units_after", "things"):
        return None
    last = next((item for item in reversed(view.before) if isinstance(item, Count)), None)
    told = last is not None and last.number == number
    return Noise("stopped") if told else Count(number, said=True, figures=view.term().figures), end


def misheard(view: View) -> Found | None:
    """Dictated `five five for at seven`: a word that sounds like a number, where one would stand."""
    if not view.has(0, "sounds_like_number") or not isinstance(view.previous, Count) or view.previous.said:
        return None
    loaded = view.has(1, "at", "with") and mass_at(view, 2) is not None
    spoken = [item for item in view.before[-2:] if isinstance(item, Count) and not item.figures]
    listed = len(spoken) > 1 and view.term(1) is END
    return (Doubt("misheard_number"), 1) if loaded or listed else None


def _lists_groups(view: View, number: Decimal) -> bool:
    """`2 sets of 5 and one of 4`; `una de 5 y dos de 4`: one of, or after another group."""
    grouped = any(isinstance(item, Group) for item in view.before[-3:])
    joined = view.has(3, "and") or view.mark(3, ",")
    if joined and not view.term(0).figures and _whole(view, 4) is not None and view.has(5, "of", "each_of"):
        return True
    return grouped or (
        number == 1 and not view.term(0).figures and not view.has(3, "of", "minutes", "things", "kg", "lb")
    )


def _counted(view: View, ahead: int) -> bool:
    """A German figure-word used as a noun: Dreier, 4er."""
    return view.has(ahead, "counted") and view.number(ahead) is not None


def _whole(view: View, ahead: int) -> Decimal | None:
    number = view.number(ahead)
    if number is None and view.has(ahead, "article", "one"):
        number = Decimal(1)
    return number if number is not None and number == number.to_integral_value() else None


def tabular(view: View) -> Found | None:
    """`sets: 3 reps: 5`, `reps 5, sets 3`."""
    for first, second in (("sets", "reps"), ("reps", "sets")):
        at = 2 if view.mark(1, ":", "=") else 1
        one = _whole(view, at)
        then = at + 1 + view.mark(at + 1, ",", ";", "/", "\n")
        if not view.has(0, first) or one is None or not view.has(then, second):
            continue
        end = then + 1 + view.mark(then + 1, ":", "=")
        other = _whole(view, end)
        if other is not None and not view.has(end + 1, second):
            sets, reps = (one, other) if first == "sets" else (other, one)
            return Group(int(sets), reps, stated=True), end + 1
    return None


def _after_sets(view: View, number: Decimal) -> Found | None:
    ahead = 2
    if view.has(2, "out_of") and view.number(3) is not None and not view.has(2, "of"):
        return Header(int(number)), 4
    if view.mark(2, ",") and view.has(3, "each_of"):
        ahead = 3
    while ahead < 6 and view.has(ahead, "of", "each_of", "with", "at", "times", "each", "article"):
        if view.number(ahead) is not None and not view.has(ahead, "article"):
            break
        ahead += 1
    reps = view.number(ahead)
    linked = ahead > 2 or _counted(view, 2)
    if reps is None or not linked or view.has(ahead + 1, "sets", "kg", "lb") or view.term(ahead).decimal:
        return Header(int(number)), 2
    taken = ahead + 1 + view.has(ahead + 1, "reps", "exercise")
    return Group(int(number), reps, stated=True), taken


def _reps_then_sets(view: View, number: Decimal) -> Found | None:
    ahead = view.skip(2, "each_of", "times", "for")
    if view.mark(2, ","):
        ahead = 3
    if _whole(view, ahead) is None or not view.has(ahead + 1, "sets") or (ahead == 2 and not view.term(2).figures):
        return None
    return Group(int(view.number(ahead) or 0), number, stated=True), ahead + 2
