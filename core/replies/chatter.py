"""Words around numbers that take them away: names, unknown words, labels of everyday, number words of other things."""

from collections.abc import Sequence
from dataclasses import replace

from core.replies.items import (
    Bands,
    Count,
    Doubt,
    Group,
    Item,
    Load,
    Noise,
    OutOf,
    Pair,
    Placed,
    Position,
    Punct,
    Said,
    Seconds,
    Times,
    Unknown,
    by_clause,
)

COUNTED = (Count, OutOf, Group, Times, Pair, Seconds)
_NAMING = ("named", "things", "money", "date", "telephone", "measure", "time")
_SMALL_WORDS = (
    "and",
    "then",
    "together",
    "each",
    "reps",
    "sets",
    "the",
    "band",
    "one",
    "tick",
    "emoji",
    "done",
    "article",
)


def strike_lone(out: list[Placed], within: Sequence[int]) -> None:
    live = [at for at in within if isinstance(out[at].item, COUNTED) and not out[at].struck]
    strange = any(isinstance(out[at].item, Unknown) for at in within)
    named = any(isinstance(item := out[at].item, Noise) and item.kind in _NAMING for at in within)
    if not (strange or named) or len(live) != 1:
        return
    at = live[0]
    item = out[at].item
    if isinstance(item, Count) and not item.said and not _beside_load(out, within, at):
        out[at] = replace(out[at], struck="unexplained")


def strike_stray_loads(out: list[Placed], within: Sequence[int]) -> None:
    """A load in a clause of its own is asked about beside an unknown word, and is a story beside two."""
    items = [out[at].item for at in within]
    strange = sum(isinstance(item, Unknown) for item in items)
    if not strange or any(isinstance(item, COUNTED) for item in items):
        return
    for at in within:
        if isinstance(out[at].item, Load) and not out[at].struck:
            told = strange > 1
            out[at] = replace(out[at], struck="story") if told else replace(out[at], item=Doubt("unexplained_load"))


def strike_bare_bands(out: list[Placed], within: Sequence[int]) -> None:
    """A label that is a word of everyday counts bare only beside nothing but counts."""
    for at in within:
        item = out[at].item
        if not isinstance(item, Bands) or not item.bare:
            continue
        everyday = any(term.has("only_band_place") for term in out[at].terms)
        if everyday or any(_speaks(out[near].item) for near in within):
            out[at] = replace(out[at], struck="everyday_word")


def _speaks(item: Item) -> bool:
    if isinstance(item, Unknown):
        return True
    return isinstance(item, Said) and not item.term.mark and not item.has(*_SMALL_WORDS)


def strike_weak(out: list[Placed]) -> list[Placed]:
    """`one` counts only in a list, or alone."""
    live = [at for at, one in enumerate(out) if isinstance(one.item, COUNTED) and not one.struck]
    for place, at in enumerate(live):
        item = out[at].item
        if not isinstance(item, Count) or not item.weak or item.said or len(out) == 1:
            continue
        beside = [*live[max(0, place - 1) : place], *live[place + 1 : place + 2]]
        if not any(abs(near - at) <= 2 and _word_count(out[near].item) for near in beside):
            out[at] = replace(out[at], struck="one")
    return out


def _word_count(item: Item) -> bool:
    return isinstance(item, Count) and not item.figures and item.number == item.number.to_integral_value()


def mixed(out: list[Placed]) -> list[Placed]:
    """A number word beside figures counts sets, people or places: `the next two were 5 and 4`."""
    live = [at for at, one in enumerate(out) if isinstance(one.item, Count) and not one.struck]
    figures = [at for at in live if isinstance(item := out[at].item, Count) and item.figures]
    spoken = [at for at in live if _word_count(out[at].item)]
    if not figures or not spoken:
        return out
    for at in spoken:
        led = (
            at > 0 and isinstance(item := out[at - 1].item, Said) and item.has("the", "then", "last", "other", "on_day")
        )
        why = "number_of_sets" if led or isinstance(out[at - 1].item, Position) else ""
        out[at] = replace(out[at], struck=why) if why else replace(out[at], item=Doubt("mixed_numbers"))
    return out


def strangers(out: list[Placed]) -> list[Placed]:
    """Clauses that a name opens, with what that person did, report nothing."""
    counted_before = False
    for within in by_clause(out).values():
        counted = [at for at in within if isinstance(out[at].item, COUNTED) and not out[at].struck]
        if counted and _named_first(out, within, counted_before, len(counted)):
            for at in within:
                out[at] = replace(out[at], struck="other_person")
            continue
        counted_before = counted_before or bool(counted)
    return out


def _named_first(out: Sequence[Placed], within: Sequence[int], counted_before: bool, counts: int) -> bool:
    """Whether an unknown capitalised word opens the clause and does something, or stands before a second list."""
    words = [at for at in within if not isinstance(out[at].item, Punct)]
    first = out[words[0]].item if words else None
    if not isinstance(first, Unknown) or not first.term.cap or len(words) < 2:
        return False
    second = out[words[1]].item
    if any(isinstance(item := out[at].item, Said) and item.has("introduces", "myself") for at in within):
        return False
    does = isinstance(second, Said) and second.has("third_person")
    lone = counts == 1 and isinstance(second, Unknown)
    two = isinstance(second, Said) and second.has("and") and isinstance(out[words[2]].item, Unknown)
    behind = counted_before and (isinstance(second, Count) or (isinstance(second, Said) and second.has("about", "but")))
    return does or lone or two or behind


def _beside_load(out: Sequence[Placed], within: Sequence[int], at: int) -> bool:
    """A count with its load or its place right beside it is a set, whatever else is said."""
    for near in (at - 1, at + 1):
        if near in within and isinstance(out[near].item, Load | Position) and not out[near].struck:
            return True
    return False
