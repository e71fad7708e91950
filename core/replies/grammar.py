"""The grammar: recognisers, one for each notation, tried in order at each term; the first that fits takes its terms."""

from collections.abc import Sequence
from decimal import Decimal

from core.replies import bands, efforts, loads, noise, places, times, weighing
from core.replies.items import Count, Item, Named, Noise, OutOf, Placed, Punct, Said, Unknown
from core.replies.markup import markup
from core.replies.reading import Context
from core.replies.terms import Term
from core.replies.view import Found, Recogniser, View
from core.training import Exercise


def out_of(view: View) -> Found | None:
    """`4/5`, `4 out of 5`; `5/5/4` is a list."""
    first = view.number()
    if first is None or view.term().decimal:
        return None
    second = view.number(2)
    if second is None:
        return None
    if view.has(1, "out_of") and view.term().figures == view.term(2).figures:
        return (Noise("sets"), 4) if view.has(3, "sets") else (OutOf(first, second, slash=False), 3)
    tight = not view.term(1).gap and not view.term(2).gap
    chained = (view.mark(3, "/") and not view.term(3).gap) or (view.mark(-1, "/") and not view.term().gap)
    if view.mark(1, "/") and tight and not chained and not view.has(-1, "the", "date_at"):
        return OutOf(first, second, slash=True), 3 + view.has(3, "reps")
    return None


def count(view: View) -> Found | None:
    """A number with or without the word for repetitions."""
    number = view.number()
    term = view.term()
    if number is None:
        return None
    if term.figures and not term.gap and view.term(-1).unknown and view.term(-1).text:
        return Noise("glued"), 1
    said = view.has(1, "reps") and not view.term(1).mark and view.number(1) is None
    taken = 1 + said
    weak = term.has("one", "article") or (not term.figures and number in (0, 1))
    return Count(Decimal(number), term.pair, said, weak, term.figures), taken


RECOGNISERS: tuple[Recogniser, ...] = (
    markup,
    noise.telephone,
    times.tabular,
    efforts.failure,
    times.stopped,
    times.misheard,
    places.position,
    noise.clock,
    noise.calendar,
    noise.money,
    weighing.weighed,
    noise.duration,
    bands.band,
    bands.coloured,
    loads.pieces,
    efforts.late,
    efforts.rated,
    efforts.in_reserve,
    times.sets_of,
    out_of,
    times.crossed,
    loads.relative,
    loads.bodyweight,
    noise.measured,
    loads.introduced,
    loads.with_unit,
    loads.stray,
    count,
)


def parse(terms: Sequence[Term], context: Context) -> list[Placed]:
    """The items of a message, in order, each with the terms it took."""
    items: list[Item] = []
    placed: list[Placed] = []
    at = 0
    while at < len(terms):
        item, taken = _next(View(terms, at, context, items))
        items.append(item)
        placed.append(Placed(item, tuple(terms[at : at + taken])))
        at += taken
    return placed


def _next(view: View) -> Found:
    for recognise in RECOGNISERS:
        found = recognise(view)
        if found is not None:
            return found
    term = view.term()
    if term.has("exercise"):
        return Named(Exercise(term.meanings["exercise"])), 1
    if term.meanings:
        return Said(term), 1
    return (Punct(term.text, term.gap) if term.mark else Unknown(term)), 1
