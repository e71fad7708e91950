"""What somebody owns is no training: `i have 2x1.25, 2x2.5, an 8 bell, chain takes 4`."""

from collections.abc import Sequence
from dataclasses import replace

from core.replies.items import (
    Bands,
    Count,
    Doubt,
    Group,
    Item,
    Load,
    OutOf,
    Pair,
    Placed,
    Punct,
    Relative,
    Said,
    Seconds,
    Times,
)

_NUMBERED = (Count, OutOf, Group, Times, Pair, Seconds, Load, Relative, Bands, Doubt)
_PIECES = ("kettlebell", "plate", "vest")
_USED = ("with", "at", "attached", "on", "reset", "done", "that_was")
_REACH = 3  # items from the verb to the first number


def strike_belongings(marked: list[Placed]) -> None:
    """Strikes the numbers of a list of belongings, and the places on the chain."""
    chained = [at for at, one in enumerate(marked) if _is(one.item, "chain_holds") and _leads(marked, at)]
    for at in chained:
        _strike(marked, [near for near in range(at, len(marked)) if marked[near].clause == marked[at].clause])
    for at, one in enumerate(marked):
        if not _is(one.item, "owns", "owns_or_did", "bought") or not _leads(marked, at):
            continue
        listed = [near for near in range(at + 1, len(marked)) if marked[near].sentence == one.sentence]
        surely = _is(one.item, "bought") or any(near in listed for near in chained)
        if _is_list([marked[near] for near in listed], surely, _is(one.item, "owns")):
            _strike(marked, listed)
        elif _is(one.item, "bought"):
            _strike(marked, [near for near in listed if marked[near].clause == one.clause])


def _is(item: Item, *kinds: str) -> bool:
    return isinstance(item, Said) and item.has(*kinds)


def _leads(marked: Sequence[Placed], at: int) -> bool:
    """Whether a number follows with nothing but small words between."""
    for one in marked[at + 1 : at + 1 + _REACH]:
        if isinstance(one.item, _NUMBERED):
            return True
        if not _is(one.item, "article", "the", "about", "owns"):
            return False
    return False


def _is_list(behind: Sequence[Placed], surely: bool, owns: bool) -> bool:
    """Pieces, or crosses with masses behind a verb that `owns`; no list of repetitions, and nothing lifted."""
    terms = [term for one in behind if not isinstance(one.item, Punct) for term in one.terms]
    if any(term.has(*_USED) and not term.has(*_PIECES) for term in terms):
        return False
    live = [one.item for one in behind if not one.struck]
    if sum(isinstance(item, Count) for item in live) > surely:
        return False
    crossed = sum(isinstance(item, Pair | Group) for item in live)
    weighed = any(_counts_masses(one) for one in behind if not one.struck)
    pieces = any(term.has(*_PIECES) for term in terms) and (crossed != 1 or weighed)
    return surely or pieces or (weighed and owns)


def _counts_masses(one: Placed) -> bool:
    """`2x1.25`, and not `10kg x 5`."""
    item = one.item
    return isinstance(item, Times) and isinstance(item.load, Load) and one.terms[0].number != item.load.amount


def _strike(marked: list[Placed], places: Sequence[int]) -> None:
    for at in places:
        if isinstance(marked[at].item, _NUMBERED) and not marked[at].struck:
            marked[at] = replace(marked[at], struck="belongings")
