"""Effort: `rpe 8`, `RIR 2`, `2 in the tank`, `rpe 7-8`, `that was a 9`, `to failure`; and failed repetitions."""

from collections.abc import Sequence
from decimal import Decimal

from core.replies.items import Count, Doubt, Effort, Failed, Group, OutOf, Position, Said, ToFailure
from core.replies.reading import Context
from core.replies.terms import Term
from core.replies.view import Found, View
from core.units import half_steps

HARDEST, EASIEST = 10, 1
_LEAST_LATE = 6
_WIDEST = 2  # from end to end of a range that answers the question for effort
_ARTICLES = frozenset(["a", "an", "un", "une", "ne", "eine", "ein", "n"])
_RECENT = 100  # items looked back over


def rating(value: Decimal, in_reserve: bool) -> float | None:
    """An RPE in halves, None outside 1-10; repetitions in reserve are converted."""
    rpe = half_steps(HARDEST - value if in_reserve else value)
    return rpe if EASIEST <= rpe <= HARDEST and (value <= HARDEST or in_reserve) else None


def _value(view: View, at: int, in_reserve: bool) -> tuple[float | None, int] | None:
    """A rating or the middle of a range at `at`, and where it ends."""
    between = view.has(at, "between")
    at += between
    number = view.number(at)
    if number is None and view.has(at, "article"):
        at += 1
        number = view.number(at)
    if number is None:
        return None
    tight = view.mark(at + 1, "-") and view.term(at + 1).gap == view.term(at + 2).gap
    spanned = tight or view.has(at + 1, "to", "till", "or") or (between and view.has(at + 1, "and"))
    high = view.number(at + 2)
    if spanned and high is not None and high >= number and not view.has(at + 3, "times", "sets"):
        middle = (number + high) / 2
        return rating(middle, in_reserve), at + 3
    return rating(number, in_reserve), at + 1


def rated(view: View) -> Found | None:
    """`rpe 8`, `RIR 2, 1, 0`, `RPE entre 7 y 8`: the word first."""
    if not view.has(0, "rpe", "rir") and not (view.has(0, "at", "with") and view.has(1, "rpe", "rir")):
        return None
    at = 0 if view.has(0, "rpe", "rir") else 1
    in_reserve = view.has(at, "rir")
    at = view.skip(at + 1, "was", "about", "at", "of", "to")
    at += view.mark(at, ":", "=", "@", ",")
    first = _value(view, at, in_reserve)
    if first is None:
        return None
    ratings, at = [first[0]], first[1]
    if _some_done(view):
        more, at = _more(view, at, in_reserve)
        ratings += more
    return Effort(tuple(ratings)), at


def _some_done(view: View) -> bool:
    return any(isinstance(item, Count | Group | OutOf) for item in view.before[-_RECENT:])


def _more(view: View, at: int, in_reserve: bool) -> tuple[list[float | None], int]:
    found: list[float | None] = []
    while True:
        ahead = at + 1 if view.mark(at, ",", "/", "-") or view.has(at, "and") else at
        value = _value(view, ahead, in_reserve)
        if value is None or _starts_a_set(view, value[1]) or (ahead == at and not view.term(ahead).gap):
            return found, at
        found.append(value[0])
        at = value[1]


def _starts_a_set(view: View, at: int) -> bool:
    """Whether the number before `at` is a count of repetitions with something of its own."""
    return view.has(at, "rpe", "rir", "at", "with", "reps", "sets", "times", "kg", "lb", "left", "seconds", "minutes")


def in_reserve(view: View) -> Found | None:
    """`2 in the tank`, `1-2 left`, `3 RIR`, `left one in the tank`: the word behind, or on both sides."""
    ahead = 1 if view.has(0, "had_left", "with") and view.number() is None else 0
    ahead = view.skip(ahead, "about", "still") if ahead else view.skip(0, "still")
    value = _value(view, ahead, in_reserve=True)
    if value is None:
        return None
    rating_, at = value
    at += view.has(at, "reps") and view.has(at + 1, "left", "had_left")
    if view.has(at, "rir") and view.number(at + 1) is None:
        return Effort((rating_,)), at + 1
    if view.has(at, "rpe") and view.number(at + 1) is None:
        plain = _value(view, ahead, in_reserve=False)
        return None if plain is None else (Effort((plain[0],)), at + 1)
    if view.has(at, "left") and not view.has(at + 1, "sets", "elbow", "place", "minutes"):
        return Effort((rating_,)), at + 1 + view.has(at + 1, "left")
    if ahead and view.has(0, "had_left_surely") and not view.has(at, "sets", "minutes", "kg", "lb", "units_after"):
        return Effort((rating_,)), at
    return None


def late(view: View) -> Found | None:
    """`that was a 9`: a rating of the set before."""
    if not view.has(0, "that_was") or _of_a_place(view):
        return None
    at = view.skip(1, "about", "article", "that")
    at = view.skip(at, "rpe", "about", "article")
    value = _value(view, at, in_reserve=False)
    listed = value is not None and (view.number(value[1]) is not None or view.number(value[1] + 1) is not None)
    if value is not None and not listed and not _as_rating(view, at):
        return Doubt("rating_or_reps"), value[1]
    if value is None or view.has(value[1], "reps", "kg", "lb", "left", "sets", "times", "minutes", "rir"):
        return None
    if (
        view.mark(value[1], "/")
        or view.number(value[1]) is not None
        or (view.mark(value[1], ",", "-") and view.number(value[1] + 1))
    ):
        return None
    return Effort((value[0],), late=True), value[1]


def _as_rating(view: View, at: int) -> bool:
    """`that was a 9`, `that was rpe 9`; `that was 9` may speak of repetitions."""
    if view.has(at + 1, "reps", "kg", "lb", "left", "sets", "times", "minutes", "rir", "at", "with") or at > 1:
        return True
    said = view.term().raw.lower()
    return bool(_ARTICLES & set(said.replace("'", " ").split())) or view.mark(1, "@") or _half(view, at)


def _half(view: View, at: int) -> bool:
    number = view.number(at)
    return number is not None and number != int(number)


def _of_a_place(view: View) -> bool:
    """`the last was 5` speaks of repetitions; `the last was a 9` may rate it."""
    if not any(isinstance(item, Position) for item in view.before[-2:]):
        return False
    number = view.number(1)
    return number is not None and (
        number < _LEAST_LATE or not view.term().raw.lower().endswith(("a", "un", "ne", "an"))
    )


def failure(view: View) -> Found | None:
    """`to failure`, `failed on the 5th`, `couldn't get the last one up`."""
    if view.has(0, "no_failure"):
        return Said(view.term()), 1
    if view.has(0, "to_failure"):
        return ToFailure(), 1
    if view.has(0, "failed_last"):
        return Failed(), 1
    nth = _nth(view, view.skip(0, "at", "on", "with"))
    if nth is not None and view.has(nth[1], "failed"):
        return Failed(nth[0]), nth[1] + 1
    if not view.has(0, "failed"):
        return None
    at = view.skip(1, "the", "on", "at", "reps", "article", "with")
    at = view.skip(at, "the", "at", "reps", "on")
    nth = _nth(view, at)
    if nth is not None:
        return Failed(nth[0]), nth[1]
    return (Failed(), 1) if view.has(0, "failed_surely") or not view.has(1, "pain") else None


def _nth(view: View, at: int) -> tuple[int, int] | None:
    """`5th`, `rep 5`, `5. Wdh`: which repetition, and where it ends."""
    at = view.skip(at, "the")
    if view.has(at, "reps") and view.number(at + 1) is not None:
        at += 1
    if view.has(at, "ordinal"):
        end = at + 1 + view.has(at + 1, "reps", "exercise")
        return None if view.has(at + 1, "sets") else (int(view.term(at).meanings["ordinal"]), end)
    number = view.number(at)
    if number is not None and view.has(at - 1, "reps") and number == int(number):
        return int(number), at + 1
    if number is not None and view.mark(at + 1, ".") and not view.term(at + 1).gap and number == int(number):
        end = at + 2 + view.has(at + 2, "reps", "exercise")
        return None if view.has(at + 2, "sets") else (int(number), end)
    return None


def spoken_rating(terms: Sequence[Term]) -> tuple[float | None, int] | None:
    """The one rating or narrow range of a message that answers the question for it; None where it has more numbers."""
    nothing = Context()
    numbers = [at for at, term in enumerate(terms) if term.number is not None]
    if not numbers:
        return None
    first = numbers[0]
    first -= first > 0 and terms[first - 1].has("between")
    found = _value(View(terms, first, nothing, ()), 0, in_reserve=False)
    if found is None:
        return None
    said = [at for at in numbers if at < first + found[1]]
    if len(said) > 1 and terms[said[-1]].number - terms[said[0]].number > _WIDEST:  # type: ignore[operator]
        return None
    rest = numbers[len(said) :]
    out_of_ten = len(rest) == 1 and terms[rest[0]].number == HARDEST and terms[rest[0] - 1].has("out_of")
    slash = len(rest) == 1 and terms[rest[0]].number == HARDEST and terms[rest[0] - 1].text == "/"
    return found if not rest or out_of_ten or slash else None
