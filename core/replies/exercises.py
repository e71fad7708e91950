"""Which exercise a number belongs to: the one named beside it, else the one named before in the message."""

from collections.abc import Sequence
from dataclasses import replace

from core.replies.items import (
    Bands,
    Count,
    Group,
    Load,
    Named,
    OutOf,
    Pair,
    Placed,
    Position,
    Punct,
    Said,
    Seconds,
    Times,
    Unknown,
    Unweighted,
    by_clause,
)
from core.replies.reading import Context
from core.training import Exercise

PULLS = (
    Exercise.PULL_UP,
    Exercise.CHIN_UP,
    Exercise.NEUTRAL_GRIP_PULL_UP,
    Exercise.WIDE_GRIP_PULL_UP,
)
_HELD = (Exercise.HANG, Exercise.NEGATIVE)
_COUNTED = (Count, OutOf, Group, Times, Pair, Seconds)
_BELONGING = (*_COUNTED, Load, Unweighted, Bands)


def trained(exercise: Exercise, context: Context) -> Exercise | None:
    """The exercise as this athlete records it; None where it is not trained. Every grip is a pull-up by default."""
    if exercise in context.exercises:
        return exercise
    if exercise in PULLS and Exercise.PULL_UP in context.exercises:
        return Exercise.PULL_UP
    return None


def name_exercises(placed: Sequence[Placed], context: Context) -> list[Placed]:
    """The items with their exercise; those of an exercise that is not trained are struck."""
    out = list(placed)
    runs = _runs(out)
    carried: Exercise | None = None
    sentence = 0
    for within in by_clause(out).values():
        if out[within[0]].sentence != sentence and carried in _HELD:
            carried = None
        sentence = out[within[0]].sentence
        carried = _name_clause(out, within, runs, carried, context)
    return out


def _runs(placed: Sequence[Placed]) -> dict[int, int]:
    """Item -> the number of its run of counts; a run ends at any word and where the separator changes."""
    found: dict[int, int] = {}
    run, separator = 0, None
    last: int | None = None
    for at, one in enumerate(placed):
        if not isinstance(one.item, _COUNTED):
            continue
        between = None if last is None else _separator(placed[last + 1 : at])
        other = last is not None and _breaks(placed, last, at)
        changes = separator is not None and separator != between and (separator == " " or between == ">")
        if between is None or other or changes:
            run, separator = run + 1, None
        else:
            separator = between if separator is None or between == " " else separator
        found[at] = run
        last = at
    return found


def _breaks(placed: Sequence[Placed], last: int, at: int) -> bool:
    """Whether a count is of another kind than the one before, or that one was named by its place."""
    plain = isinstance(placed[last].item, Count) and isinstance(placed[at].item, Count)
    alike = plain or type(placed[last].item) is type(placed[at].item)
    labelled = last > 0 and isinstance(placed[last - 1].item, Position)
    return not alike or labelled


def _separator(between: Sequence[Placed]) -> str | None:
    """ " " for nothing, "," for marks and joining words, None where more stands between."""
    if not between:
        return " "
    kinds = [_join(one) for one in between]
    if None in kinds:
        return None
    return ">" if ">" in kinds else ","


def _join(one: Placed) -> str | None:
    """ "," for a mark or `and`, ">" for `then`, None for anything else."""
    if isinstance(one.item, Punct):
        return "," if one.item.text in ",;/-+&\n" else None
    if not isinstance(one.item, Said):
        return None
    if one.item.has("and", "article") and not one.item.has("then"):
        return ","
    return ">" if one.item.has("then", "about") else None


def _name_clause(
    out: list[Placed], within: Sequence[int], runs: dict[int, int], carried: Exercise | None, context: Context
) -> Exercise | None:
    named = [at for at in within if isinstance(out[at].item, Named)]
    counted = [at for at in within if at in runs]
    given = _behind_runs(out, named, runs)
    announced = {at for at in named if _run_before(out, at, runs) not in given or _run_follows(out, at, runs)}
    current: Exercise | None = carried
    latest: Exercise | None = carried
    for at in within:
        item = out[at].item
        if isinstance(item, Named):
            latest = item.exercise
            current = item.exercise if at in announced else None
        elif isinstance(item, Seconds) and latest is not None:
            given.setdefault(runs[at], latest)
        elif at in runs and runs[at] not in given and current is not None:
            given[runs[at]] = current
    current = last.exercise if named and isinstance(last := out[named[-1]].item, Named) else None
    _assign(out, within, runs, given, current if named else carried, context)
    if named and all(isinstance(out[at].item, Seconds) for at in counted):
        return current if not any(_chats(out[at].item) for at in within) else None
    return carried if not named else None


def _behind_runs(out: Sequence[Placed], named: Sequence[int], runs: dict[int, int]) -> dict[int, Exercise]:
    """The exercises named just behind their counts: `5 5 4 pull-ups, 10 10 dips`."""
    given: dict[int, Exercise] = {}
    for at in named:
        item, run = out[at].item, _run_before(out, at, runs)
        if not isinstance(item, Named) or run is None or run in given:
            continue
        if not _run_follows(out, at, runs) or _lone_before(out, at, runs):
            given[run] = item.exercise
    return given


def _lone_before(out: Sequence[Placed], named: int, runs: dict[int, int]) -> bool:
    """`3 dips 10`: one count right before the exercise, in no list and announced by nothing else."""
    run = runs.get(named - 1)
    alone = sum(other == run for other in runs.values()) == 1 and isinstance(out[named - 1].item, Count)
    before = out[named - 2].item if named > 1 else None
    announced = isinstance(before, Named) or (isinstance(before, Punct) and before.text == ":")
    return run is not None and alone and not announced


def _run_before(out: Sequence[Placed], named: int, runs: dict[int, int]) -> int | None:
    """The run of counts just before, with nothing but loads and small words between."""
    for at in range(named - 1, max(-1, named - 5), -1):
        if at in runs:
            return runs[at]
        if isinstance(out[at].item, Named) or (isinstance(out[at].item, Punct) and out[at].item.text in ",.;"):  # type: ignore[union-attr]
            return None
        if isinstance(said := out[at].item, Said) and said.has("then"):
            return None
    return None


def _run_follows(out: Sequence[Placed], named: int, runs: dict[int, int]) -> bool:
    """Whether the exercise announces counts of its own: `then dips 12 10`, `dips: 10`."""
    for at in range(named + 1, min(len(out), named + 4)):
        if at in runs:
            return not isinstance(out[at].item, Seconds)
        item = out[at].item
        joins = isinstance(item, Said) and item.has("and", "then", "plus")
        if joins or (isinstance(item, Punct) and item.text != ":") or not isinstance(item, Punct | Said):
            return False
    return False


def _assign(
    out: list[Placed],
    within: Sequence[int],
    runs: dict[int, int],
    given: dict[int, Exercise],
    alone: Exercise | None,
    context: Context,
) -> None:
    latest: Exercise | None = None
    runs_here = [runs[at] for at in within if at in runs]
    first = given.get(runs_here[0]) if runs_here else alone
    for at in within:
        if at in runs:
            latest = given.get(runs[at])
        if not isinstance(out[at].item, _BELONGING):
            continue
        exercise = (
            given.get(runs[at])
            if at in runs
            else latest
            if latest is not None or _after_run(within, at, runs)
            else first
        )
        if exercise is None:
            continue
        known = trained(exercise, context)
        out[at] = replace(out[at], exercise=known, struck="" if known is not None else "exercise")


def _after_run(within: Sequence[int], at: int, runs: dict[int, int]) -> bool:
    return any(before in runs for before in within if before < at)


def _chats(item: object) -> bool:
    """A clause with words of its own only mentions the exercise."""
    return isinstance(item, Unknown) or (isinstance(item, Said) and item.has("soreness", "hurt", "soft_hurt", "healed"))
