"""Loads: `at 7.5`, `+7.5`, `7.5 kg`, `the 16 bell`, `a 5 plate and a 2.5`, `bodyweight`, `2.5 more`."""

from decimal import Decimal

from core.replies.items import Count, Doubt, Load, LoadBy, Relative, Said, Unweighted
from core.replies.view import Found, Mass, View, mass_at
from core.units import Unit, grams

_FEW = 4  # a number word this small counts pieces
_PIECES = ("kettlebell", "plate", "vest")
_WORDS_BETWEEN = ("the", "article", "weight", "attached", "about", "plus")


def bodyweight(view: View) -> Found | None:
    """`bw`, `no weight`: no load; not where a body weight follows."""
    if not view.has(0, "bodyweight", "unweighted"):
        return None
    if view.has(0, "bodyweight") and view.number(1) == 0:
        return Doubt("bodyweight"), 2
    plus = view.has(1, "plus") or view.mark(1, "+")
    if plus and view.number(2) is not None:
        mass = mass_at(view, 2)
        return None if mass is None else (_load(mass, "word"), 2 + mass.taken)
    return Unweighted(), 1


def relative(view: View) -> Found | None:
    """`plus 2.5 more`, `2.5 up`, `took 2.5 off`: against the set before."""
    ahead = view.skip(0, "with") if view.has(0, "with") and not view.has(0, "up_by", "down_by") else 0
    sign = _direction(view, ahead)
    start = ahead + 1 if sign else ahead
    start = view.skip(start, "about", "of", "article")
    mass = mass_at(view, start)
    if mass is None or view.has(start + mass.taken, "left", "sets", "reps", "minutes"):
        return None
    if not mass.unit_said and mass.amount <= 1:
        return None
    if view.has(0, "up_by_mass") and (mass.unit_said or view.term(1).decimal):
        return Relative(mass.mass_g), _past_attached(view, start + mass.taken)
    end = start + mass.taken
    behind = 1 if view.has(end, "more_up") else -1 if view.has(end, "less") else 0
    if view.has(end, "more_up") and sign < 0:
        behind = 0
    if behind == 0 and (sign == 0 or not _stands_alone(view, mass)):
        return None
    if behind and not sign and not _alone_after(view, end + 1):
        return None
    if not sign and not mass.unit_said and not view.term(start).decimal and isinstance(view.previous, Count | Said):
        counted = any(isinstance(item, Count) for item in view.before)
        if counted:
            return Doubt("more_reps_or_load"), end + 1
    delta = mass.mass_g * (sign or behind)
    return Relative(delta), end + (1 if behind else 0)


def _direction(view: View, ahead: int) -> int:
    if view.has(ahead, "up_by"):
        return 1
    return -1 if view.has(ahead, "down_by") and not view.term(ahead).mark else 0


def _stands_alone(view: View, mass: Mass) -> bool:
    """`up 5`, `added 2.5`: surely relative only with words like these ahead of the repetitions."""
    return not any(isinstance(item, Count) for item in view.before) or mass.amount != mass.amount.to_integral_value()


def _alone_after(view: View, ahead: int) -> bool:
    return view.number(ahead - 1) is None


def introduced(view: View) -> Found | None:
    """A load behind `at`, `@`, `with`, `+`, `weight:`; what follows must be a mass."""
    by = _introduction(view)
    if by is None:
        return None
    ahead = 1
    while ahead < 4 and view.has(ahead, *_WORDS_BETWEEN) and view.number(ahead) is None:
        ahead += 1
    ahead += view.has(ahead, "of") and view.has(ahead - 1, "the")
    if by == "label" and view.mark(ahead, ":", "="):
        ahead += 1
    if _negative(view, ahead):
        return Doubt("negative_load"), ahead + 2
    if view.has(ahead, "long"):
        return Doubt("unreadable_load"), ahead + 1
    mass = mass_at(view, ahead)
    if mass is None:
        return _plus_load(view, ahead) if view.mark(ahead, "+") else None
    return _settled(view, by, mass, ahead)


def _plus_load(view: View, ahead: int) -> Found | None:
    mass = mass_at(view, ahead + 1)
    return None if mass is None else (_load(mass, "word"), ahead + 1 + mass.taken)


def _introduction(view: View) -> LoadBy | None:
    term = view.term()
    if term.mark and term.text == "@":
        return "sign"
    if term.mark and term.text == "+":
        tight = not view.term(1).gap
        listed = isinstance(view.previous, Count) and term.gap == view.term(1).gap
        return "word" if tight and not listed else None
    if term.has("at"):
        return "at"
    if term.has("weight") and (view.mark(1, ":", "=") or view.number(1) is not None or view.has(1, "was", "of")):
        return "label"
    return "word" if term.has("with") else None


def _negative(view: View, ahead: int) -> bool:
    minus = (view.mark(ahead, "-") and not view.term(ahead + 1).gap) or view.has(ahead, "minus")
    return minus and view.number(ahead + 1) is not None


def _settled(view: View, by: LoadBy, mass: Mass, ahead: int) -> Found | None:
    end = ahead + mass.taken
    if mass.doubt:
        return Doubt(mass.doubt), end
    if view.has(end, "left", "minutes", "sets", "band", "things", "units_after", "seconds", "times", "reps"):
        return None
    if view.has(end, "rpe", "rir", "out_of") and (view.number(end + 1) is not None) is view.has(end, "out_of"):
        return None
    if (view.mark(end, "-") and view.number(end + 1) is not None) or _goes_on(view, end):
        return None
    hedged = view.has(end, "or") and mass_at(view, end + 1)
    if hedged:
        return Doubt("hedged_load"), end + 1 + hedged.taken
    if not mass.unit_said and _strange_unit(view, end):
        return Doubt("unknown_unit"), end + 1
    return _load(mass, by), _past_attached(view, end)


def _goes_on(view: View, end: int) -> bool:
    """`at 7:30`, `at 5/5`: no mass."""
    follows, behind = view.term(end), view.term(end + 1)
    return view.mark(end, "/", ":") and not follows.gap and behind.number is not None and not behind.gap


def _strange_unit(view: View, end: int) -> bool:
    """An unknown word where a unit would stand."""
    follows = view.term(end)
    return follows.unknown and follows.text != "" and len(follows.text) <= 7


def _past_attached(view: View, end: int) -> int:
    end = view.skip(end, "of")
    while view.has(end, "weight", "attached") and not view.mark(end + 1, ":"):
        end += 1
    return end if not view.has(end - 1, "of") else end - 1


def _load(mass: Mass, by: LoadBy) -> Load:
    return Load(mass.mass_g, mass.amount, by, mass.unit_said)


def with_unit(view: View) -> Found | None:
    """A number with a unit is a load wherever it stands: `10kg: 5 5 4`."""
    mass = mass_at(view, 0)
    if mass is None or not mass.unit_said:
        return _minus_load(view)
    if mass.doubt:
        return Doubt(mass.doubt), mass.taken
    hedged = view.has(mass.taken, "or") and mass_at(view, mass.taken + 1)
    if hedged:
        return Doubt("hedged_load"), mass.taken + 1 + hedged.taken
    return _load(mass, "unit"), _past_attached(view, mass.taken)


def _minus_load(view: View) -> Found | None:
    if not _negative(view, 0) or not view.term().gap:
        return None
    if view.has(2, "kg", "lb"):
        return Doubt("negative_load"), 3
    leads = view.previous is None or isinstance(view.previous, Unweighted)
    return (Doubt("negative_load"), 2) if leads and not view.mark(2, "\n") else None


def pieces(view: View) -> Found | None:
    """Kettlebells, plates and vests named by their mass, added up; without a mass a doubt."""
    start = 1 if view.has(0, "with", "at", "on") and view.number(0) is None else 0
    first = _piece(view, start)
    if first is None:
        return _nameless(view, start)
    total, at = first
    while (more := _next_piece(view, at)) is not None:
        total += more[0]
        at = more[1]
    return Load(total, Decimal(total) / 1000, "piece", unit_said=True), _past_attached(view, at)


def _piece(view: View, at: int) -> tuple[int, int] | None:
    """One piece with its mass: grams and where it ends."""
    at = view.skip(at, "the", "article")
    count = view.number(at)
    several = (
        count is not None
        and (at > 0 or not isinstance(view.previous, Count))
        and (view.number(at + 1) is not None or view.has(at + 1, *_PIECES))
    )
    if several and not view.has(at + 1, "kg", "lb"):
        found = _one_piece(view, at + 1)
        if found is not None and count is not None and count == int(count) and _is_number_of_pieces(view, at):
            return found[0] * int(count), found[1]
    return _one_piece(view, at)


def _is_number_of_pieces(view: View, at: int) -> bool:
    return view.number(at + 1) is not None or view.has(at + 2, "of", "at") or view.number(at + 2) is not None


def _one_piece(view: View, at: int) -> tuple[int, int] | None:
    mass = _bare_mass(view, at)
    if mass is not None and (_piece_word(view, at + mass.taken)):
        return mass.mass_g, at + mass.taken + 1
    if mass is not None and _and_a_piece(view, at + mass.taken):
        return mass.mass_g, at + mass.taken
    if not _piece_word(view, at):
        return None
    ahead = at + 1
    while ahead < at + 4 and (view.has(ahead, "of", "at", "attached", "on") or view.mark(ahead, "(")):
        if view.number(ahead) is not None:
            break
        ahead += 1
    mass = _bare_mass(view, ahead)
    if mass is None or (
        view.term(ahead - 1).text == view.term(at).text and not mass.unit_said and not _listed(view, at)
    ):
        return None
    return mass.mass_g, ahead + mass.taken


def _listed(view: View, at: int) -> bool:
    """`Scheiben 5 + 2,5`: masses behind the word itself."""
    return view.mark(at + 2, "+") or view.has(at - 1, "with", "at")


def _piece_word(view: View, at: int) -> bool:
    plural = view.has(at, "set_short") and not view.term(at).gap and view.has(at + 1, "attached")
    return view.has(at, *_PIECES) or plural


def _and_a_piece(view: View, at: int) -> bool:
    """`a 15` of `a 15 and a 2.5 plate`."""
    if not (view.has(at, "and", "plus") and view.has(at + 1, "article", "the")):
        return False
    mass = _bare_mass(view, at + 2)
    led = any(view.has(before, "article", "the", "with") for before in (at - 2, at - 3))
    return mass is not None and _piece_word(view, at + 2 + mass.taken) and led


def _bare_mass(view: View, at: int) -> Mass | None:
    number = view.number(at)
    if number is None or (not view.term(at).figures and number <= _FEW and not view.has(at + 1, "kg", "lb")):
        return None
    if view.has(at, "counted"):
        return Mass(grams(number, view.context.unit), number, False, 1)
    return mass_at(view, at)


def _next_piece(view: View, at: int) -> tuple[int, int] | None:
    if not (view.has(at, "and", "plus", "with") or view.mark(at, "+", ",")):
        return None
    linked = view.mark(at, "+")
    ahead = view.skip(at + 1, "article", "the")
    ahead = view.skip(ahead, "of")
    linked = linked or ahead > at + 1
    found = _one_piece(view, ahead)
    if found is not None:
        return found
    mass = _bare_mass(view, ahead)
    if mass is not None and linked and not view.mark(at, ","):
        return mass.mass_g, ahead + mass.taken
    return None


def _nameless(view: View, start: int) -> Found | None:
    """`with the vest`, `one plate on the belt`: which one?"""
    at = view.skip(start, "the", "article", "one", "colour")
    if not _piece_word(view, at) or (_piece_word(view, at) and view.number(at) is not None):
        return None
    if (start and not view.has(0, "on")) or view.has(at + 1, "attached", "on"):
        return Doubt("piece_without_mass"), at + 1
    return None


def stray(view: View) -> Found | None:
    """A decimal number that stands alone is a load; `2.5` behind a list."""
    term = view.term()
    if term.decimal and not view.has(1, "reps", "rpe", "rir", "left"):
        number = term.number or Decimal(0)
        return Load(grams(number, view.context.unit), number, "decimal"), 1
    return None


__all__ = ["Said", "Unit", "bodyweight", "introduced", "pieces", "relative", "stray", "with_unit"]
