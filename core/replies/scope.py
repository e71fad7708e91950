"""Which numbers of a message report something: plans, questions, other people, warm-ups and other exercises are struck.

Clauses end at marks and at `but`; inside one, a word of planning (or of another person, …) strikes the numbers
behind it, until the speaker comes back to what was done.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from core.replies.belongings import strike_belongings
from core.replies.exercises import name_exercises
from core.replies.items import (
    Bands,
    Count,
    Doubt,
    Effort,
    Failed,
    Group,
    Item,
    Load,
    NoBand,
    OutOf,
    Pair,
    Placed,
    Punct,
    Relative,
    Said,
    Seconds,
    SomeBand,
    Times,
    ToFailure,
    Unknown,
    Unweighted,
    by_clause,
)
from core.replies.reading import Context

COUNTED = (Count, OutOf, Group, Times, Pair, Seconds)
QUANTITIES = (*COUNTED, Load, Relative, Unweighted, Bands, NoBand, SomeBand, Doubt, Effort, Failed, ToFailure)
_JOINS = ("and", "then", "the", "article", "tick")
_STRIKERS = ("plan", "other_person", "warm_up", "past", "conditional", "tomorrow", "sport")
_BACKWARD = ("warm_up", "tomorrow", "sport")
_NEAR = 2
_CLAUSE_ENDS = ".!?;()\n…"
_SENTENCE_ENDS = ".!?\n"
_LONGEST_JOIN = 3


def clauses(placed: Sequence[Placed]) -> list[Placed]:
    """The items with the number of the clause and of the sentence each stands in."""
    inside = _inside_lists(placed)
    out: list[Placed] = []
    clause = sentence = 0
    for at, one in enumerate(placed):
        out.append(replace(one, clause=clause, sentence=sentence))
        if isinstance(one.item, Punct) and at not in inside:
            ends = one.item.text in _CLAUSE_ENDS or one.item.text == "," or _spaced_dash(placed, at)
            clause += ends
            sentence += one.item.text in _SENTENCE_ENDS
        elif isinstance(one.item, Said) and one.item.has("but") and at and not _belongs(placed[at - 1].item):
            clause += 1
            out[-1] = replace(one, clause=clause, sentence=sentence)
    return out


def _belongs(before: Item) -> bool:
    """`Jaromir nur 3`, `elbow but 6/10`: the word goes with what stands before it."""
    if isinstance(before, Unknown):
        return before.term.cap
    return isinstance(before, Said) and before.has("place")


def _spaced_dash(placed: Sequence[Placed], at: int) -> bool:
    item = placed[at].item
    after = placed[at + 1].terms if at + 1 < len(placed) else ()
    return isinstance(item, Punct) and item.text == "-" and item.gap and bool(after) and after[0].gap


def _inside_lists(placed: Sequence[Placed]) -> frozenset[int]:
    """The marks and words that only join two counts of one list."""
    found: set[int] = set()
    since: list[int] | None = None
    for at, one in enumerate(placed):
        if isinstance(one.item, COUNTED):
            if since is not None and len(since) <= _LONGEST_JOIN and _joins(placed, since):
                found.update(since)
            since = []
        elif since is not None:
            since.append(at)
    return frozenset(found)


def _joins(placed: Sequence[Placed], between: Sequence[int]) -> bool:
    return all(_joint(placed, at) for at in between)


def _joint(placed: Sequence[Placed], at: int) -> bool:
    item = placed[at].item
    if isinstance(item, Punct):
        if item.text == ".":
            before = placed[at - 1].item
            return isinstance(before, Count) and before.said
        return item.text in ",;/-+\n&"
    return isinstance(item, Said) and item.has(*_JOINS) and not item.has("but", *_STRIKERS)


@dataclass(slots=True)
class _State:
    """Why numbers are struck from here on in the clause, and whether any has been."""

    why: str = ""
    used: bool = False


def scope(placed: Sequence[Placed], context: Context) -> list[Placed]:
    """The items with clauses, exercises, and what is struck."""
    marked = clauses(placed)
    marked = name_exercises(marked, context)
    groups = by_clause(marked)
    for within in groups.values():
        _strike_clause(marked, within)
    _strike_questions(marked, groups)
    strike_belongings(marked)
    return marked


def _strike(marked: list[Placed], at: int, why: str) -> None:
    if isinstance(marked[at].item, QUANTITIES) and not marked[at].struck:
        marked[at] = replace(marked[at], struck=why)


def _strike_clause(marked: list[Placed], within: Sequence[int]) -> None:
    state = _State()
    for place, at in enumerate(within):
        item = marked[at].item
        if isinstance(item, Said):
            _step(state, item, marked, within, place)
        elif isinstance(item, Punct) and item.text == ":" and state.why in ("past", "instead_of", "not", "question"):
            state.why = ""
        elif state.why and isinstance(item, QUANTITIES):
            _strike_one(marked, at, state)
    _strike_meetings(marked, within)


def _strike_one(marked: list[Placed], at: int, state: _State) -> None:
    if state.why in ("instead_of", "not") and state.used and not _same_list(marked, at):
        state.why = ""
        return
    if state.why == "past" and isinstance(marked[at].item, Effort):
        return
    _strike(marked, at, state.why)
    state.used = True


def _same_list(marked: list[Placed], at: int) -> bool:
    before = marked[at - 1]
    return isinstance(marked[at].item, Count) and isinstance(before.item, Count) and bool(before.struck)


def _step(state: _State, item: Said, marked: list[Placed], within: Sequence[int], place: int) -> None:
    if item.has("but") or (item.has("myself") and state.why in ("plan", "other_person", "past")):
        state.why, state.used = "", False
        return
    if state.used and item.has("reset", "then") and state.why != "tomorrow":
        state.why, state.used = "", False
        return
    if state.why in ("instead_of", "not") and state.used:
        state.why, state.used = "", False
    why = _striker(item, marked, within, place)
    if why and state.why not in _STRIKERS:
        state.why, state.used = why, False
        ahead = any(isinstance(marked[at].item, QUANTITIES) for at in within[place + 1 :])
        if why in _BACKWARD or (item.has("future") and not ahead):
            for at in within[:place]:
                state.used = state.used or isinstance(marked[at].item, QUANTITIES)
                _strike(marked, at, why)


def _striker(item: Said, marked: list[Placed], within: Sequence[int], place: int) -> str:
    if item.has("question") and _opens(marked, within, place):
        return "question"
    if item.has("conditional"):
        return "conditional" if _opens(marked, within, place) else ""
    if item.has("other_person"):
        before = marked[within[place - 1]].item if place else None
        beside = isinstance(before, Said) and before.has("with", "and", "to_person", "at")
        return "" if beside else "other_person"
    for why in ("plan", "warm_up", "past", "tomorrow", "sport"):
        if item.has(why):
            return why
    if item.has("instead_of"):
        return "instead_of"
    if item.has("skip_alone"):
        return "plan"
    return "not" if item.has("not") else ""


def _opens(marked: list[Placed], within: Sequence[int], place: int) -> bool:
    """Whether nothing but marks and fillers stands before in the clause."""
    return all(
        isinstance(marked[at].item, Punct) or (isinstance(said := marked[at].item, Said) and said.has("filler", "and"))
        for at in within[:place]
    )


def _strike_meetings(marked: list[Placed], within: Sequence[int]) -> None:
    """Beside `see you` or `ran` single numbers are times and distances; `at 6` beside a weekday is a time."""
    meets = [at for at in within if isinstance(item := marked[at].item, Said) and item.has("meet", "motion")]
    dated = any(isinstance(item := marked[at].item, Said) and item.has("weekday", "tomorrow") for at in within)
    counted = [at for at in within if isinstance(marked[at].item, COUNTED)]
    listed = len(counted) > 1 or any(isinstance(marked[at].item, Group | Times) for at in counted)
    for at in within:
        near = any(0 < at - meet <= _NEAR for meet in meets) and not _in_run(marked, at)
        first = any(at - meet == 1 and marked[meet].terms[0].has("meet") for meet in meets) and not isinstance(
            marked[at].item, Group | Times
        )
        timely = _timely(marked[at].item) and (near or not listed)
        lone = isinstance(marked[at].item, Count) and (first or not listed)
        if (meets and (timely or lone)) or (dated and _timely(marked[at].item) and not counted):
            _strike(marked, at, "time")


def _in_run(marked: list[Placed], at: int) -> bool:
    return isinstance(marked[at].item, Load) and at > 0 and isinstance(marked[at - 1].item, COUNTED)


def _timely(item: Item) -> bool:
    """Whether a load may as well be a time."""
    if isinstance(item, Doubt):
        return item.why == "hedged_load"
    return isinstance(item, Load) and item.by in ("at", "word", "decimal", "unit")


def _strike_questions(marked: list[Placed], groups: dict[int, list[int]]) -> None:
    """A sentence that ends in a question mark reports nothing but a clean list before its last clause."""
    asked = {one.sentence for one in marked if isinstance(one.item, Punct) and one.item.text == "?"}
    sentences: dict[int, list[list[int]]] = {}
    for within in groups.values():
        sentences.setdefault(marked[within[0]].sentence, []).append(within)
    for of_it in (sentences[sentence] for sentence in sorted(asked)):
        for place, within in enumerate(of_it):
            if place == len(of_it) - 1 or not _clean(marked, within) or _asks_already(marked, of_it[: place + 1]):
                for at in within:
                    _strike(marked, at, "question")


def _clean(marked: list[Placed], within: Sequence[int]) -> bool:
    """A clause of quantities, without words of its own that ask or plan."""
    return any(isinstance(marked[at].item, QUANTITIES) for at in within) and not any(
        isinstance(marked[at].item, Unknown) for at in within
    )


def _asks_already(marked: list[Placed], earlier: Sequence[Sequence[int]]) -> bool:
    return any(
        (isinstance(item := marked[at].item, Said) and item.has("question", "plan")) or _inverted(item)
        for within in earlier
        for at in within
    )


def _inverted(item: Item) -> bool:
    return isinstance(item, Punct) and item.text == "¿"
