"""Bands by the athlete's own labels: any words, inflected, misspelt, with digits, or words of everyday."""

from core.replies.items import Bands, Count, Doubt, Group, NoBand, OutOf, Punct, SomeBand
from core.replies.labels import Label, labels
from core.replies.terms import Term
from core.replies.view import Found, View

_PLACE = ("with", "at", "on")
_ARTICLES = ("the", "article", "that", "both")
_LABEL_TAILS = ("one", "set_noun")


def band(view: View) -> Found | None:
    """A label with the word band or in the place of a load, several together, `no band`, or `band` alone."""
    if view.has(0, "no_band"):
        return NoBand(), 1
    if view.has(0, "without") and _label(view, _past_articles(view, 1)) is not None:
        at = _past_articles(view, 1) + 1
        return NoBand(), at + view.has(at, "band")
    start = 1 if view.has(0, *_PLACE) and view.number() is None else 0
    at = _past_articles(view, start)
    worded = view.has(at, "band")
    if worded and view.has(at + 1, "of", "to_person") and not _names(view, at + 2):
        return None
    at = view.skip(_past_of(view, at + 1), "number_sign") if worded else at
    named, end = _named(view, at, worded)
    if named:
        worded = worded or view.has(end, "band")
        end += view.has(end, "band") or (view.has(end, *_LABEL_TAILS) and start > 0)
        return _found(view, named, start > 0 or worded, end)
    if worded:
        return _unnamed(view, start, at)
    return None


def _past_articles(view: View, at: int) -> int:
    for _ in range(2):
        if view.has(at, *_ARTICLES) and _label(view, at) is None and view.number(at) is None:
            at += 1
    return at


def _names(view: View, at: int) -> bool:
    """Whether a label or a number follows soon."""
    return any(_label(view, near) is not None or view.number(near) is not None for near in (at, at + 1))


def _past_of(view: View, at: int) -> int:
    at = view.skip(at, "of", "the")
    return at + 1 if view.mark(at, ":", "#", "(") else at


def _label(view: View, at: int) -> Label | None:
    found: Label | None = view.term(at).meanings.get("label")
    return found


def _numeric(view: View, at: int, worded: bool) -> Label | None:
    """A label that is a number counts only beside the word band."""
    term: Term = view.term(at)
    if term.number is None or not (worded or view.has(at + 1, "band")):
        return None
    for label in labels(view.context.bands):
        if label.words == (term.text,):
            return label
    return None


def _named(view: View, at: int, worded: bool) -> tuple[list[Label], int]:
    found: list[Label] = []
    end = at
    while (label := _label(view, at) or _numeric(view, at, worded)) is not None and label not in found:
        found.append(label)
        end = at = at + 1 + (view.term(at + 1).text == "s" and not view.term(at + 1).gap)
        at += view.has(at, "band") and (view.has(at + 1, "and", "plus") or view.mark(at + 1, "+"))
        joined = view.has(at, "and", "plus", "with") or view.mark(at, "+", "&", "/")
        if not joined:
            break
        at = _past_articles(view, at + 1)
        at += view.has(at, "band")
    return found, end


def _found(view: View, named: list[Label], placed: bool, end: int) -> Found:
    if view.has(end, "or") and _label(view, _past_articles(view, end + 1)) is not None:
        return Doubt("hedged_band"), _past_articles(view, end + 1) + 1
    end += view.has(end, "together")
    return Bands(tuple(sorted(label.spelt for label in named)), bare=not placed), end


def _unnamed(view: View, start: int, at: int) -> Found | None:
    """`band` with a word that is no label of this athlete's is asked about; alone it is the prescribed one."""
    before = view.term(at - 2) if view.term(at - 1).has("band") else view.term(at - 1)
    if (start and view.term(at).has("colour")) or (view.has(at, "colour") and view.has(at - 1, "band")):
        return Doubt("unknown_band"), at + 1
    follows = view.term(at)
    if start and follows.unknown and not follows.cap:
        return Doubt("unknown_band"), at + 1
    if view.has(at, "of", "other") or before.has("colour"):
        return None
    follows = view.term(at)
    alone = (
        follows.mark or follows.text == "" or follows.number is not None or follows.has("today", "each", "then", "and")
    )
    return (SomeBand(), at) if start or (alone and _bare_before(view)) else None


def _bare_before(view: View) -> bool:
    """Nothing but counts before in the clause."""
    previous = view.previous
    return previous is None or isinstance(previous, Count | OutOf | Group | Punct)


def coloured(view: View) -> Found | None:
    """`the pink band`, where no label is pink."""
    start = 1 if view.has(0, *_PLACE) and view.number() is None else 0
    at = _past_articles(view, start)
    term = view.term(at)
    strange = _label(view, at) is None and (term.has("colour") or (term.unknown and bool(view.context.bands)))
    if strange and view.has(at + 1, "band"):
        return Doubt("unknown_band"), at + 2
    if start and view.has(at, "colour") and not term.has("label") and view.context.bands and view.has(at + 1, "one"):
        return Doubt("unknown_band"), at + 2
    return None
