"""Sets, loads and sessions as phrases: the same short notation wherever they are said."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from math import ceil, floor
from typing import Any

from core.conversation.turn import line
from core.phrases import Mass, Phrase
from core.training import Exercise, Json, PrescribedSet, Set

Load = tuple[int | None, tuple[str, ...] | None]


def load(added_g: int | None, bands: Sequence[str] | None) -> Phrase:
    """What hangs and what helps: "with 7.5 kg", "with the amber band and 2.5 kg"."""
    if added_g is None or bands is None:
        return line("load.unknown")
    if bands and added_g:
        return line("load.both", mass=Mass(added_g), bands=" + ".join(bands))
    if bands:
        return line("load.bands", bands=" + ".join(bands))
    return line("load.added", mass=Mass(added_g)) if added_g else line("load.bodyweight")


def sets(done: Sequence[Set]) -> Phrase:
    """ "3 sets: 5, 5, 4 with 7.5 kg"; a new load, exercise or band starts a new part."""
    parts = tuple(
        line(
            "sets.part",
            exercise=_exercise(exercise),
            reps=tuple(_reps(one) for one in group),
            load=load(added_g, bands),
        )
        for (exercise, added_g, bands), group in _runs(done)
    )
    return line("sets.all", n=len(done), parts=parts)


def _runs(done: Iterable[Set]) -> Iterator[tuple[tuple[Exercise, int | None, Any], list[Set]]]:
    for key, group in groupby(done, key=lambda one: (one.exercise, one.added_g, one.bands)):
        yield key, list(group)


def _exercise(exercise: Exercise) -> Phrase:
    """ "chin-ups " before the repetitions, nothing for the plain pull-up."""
    return line("nothing") if exercise is Exercise.PULL_UP else line(f"exercise.{exercise.value}")


def _reps(one: Set) -> Phrase | int:
    shown: Phrase | int = one.reps if one.seconds is None else line("sets.held", seconds=one.seconds)
    if one.failed:
        shown = line("sets.failed", reps=shown)
    return shown if one.rpe is None else line("sets.rated", reps=shown, rpe=one.rpe)


def prescribed(planned: Sequence[PrescribedSet]) -> tuple[Phrase, ...]:
    """ "4 × 5 with 7.5 kg, rest 3 min, leave 2–3 in reserve": sets that differ in effort only are one part."""
    return tuple(_prescribed(list(group)) for _, group in groupby(planned, key=_alike))


def _alike(one: PrescribedSet) -> tuple[object, ...]:
    return (one.reps, one.added_g, one.bands, one.rest_s, one.exercise, one.seconds)


def _prescribed(group: list[PrescribedSet]) -> Phrase:
    one = group[0]
    count = line("plan.seconds", seconds=one.seconds) if one.seconds is not None else one.reps
    return line(
        "plan.open_set" if one.amrap else "plan.sets",
        times=len(group),
        reps=count,
        exercise=_exercise(one.exercise),
        load=load(one.added_g, one.bands),
        rest=rest(one.rest_s),
        effort=_effort([each.rpe for each in group if each.rpe is not None]),
        open=line("plan.open") if group[-1].amrap and not one.amrap else line("nothing"),
    )


def _effort(ratings: Sequence[float]) -> Phrase:
    """How many repetitions to leave: fewer words than a rating."""
    if not ratings:
        return line("nothing")
    most, least = ceil(10 - min(ratings)), floor(10 - max(ratings))
    if least <= 0 and most <= 0:
        return line("plan.to_the_limit")
    return line("plan.leave", n=most) if most == least else line("plan.leave_between", least=least, most=most)


def warming(planned: Sequence[PrescribedSet]) -> tuple[Phrase, ...]:
    """ "5 scapular pulls, 3 at bodyweight, 2 with 5 kg": a warm-up needs no more."""
    return tuple(
        line(
            "plan.warm",
            reps=line("plan.seconds", seconds=one.seconds) if one.seconds is not None else one.reps,
            exercise=_exercise(one.exercise),
            load=load(one.added_g, one.bands) if one.exercise is Exercise.PULL_UP or one.added_g else line("nothing"),
        )
        for one in planned
    )


def rest(seconds: int) -> Phrase:
    if seconds == 0:
        return line("nothing")
    if seconds % 60 == 0:
        return line("plan.rest_minutes", minutes=seconds // 60)
    return line("plan.rest_seconds", seconds=seconds)


def pieces(hung: Json) -> Phrase:
    """What goes on the belt for one set, in the order it goes on."""
    named = tuple(
        line(f"hang.{piece['kind']}", n=piece["count"], mass=Mass(piece["mass_g"])) for piece in hung["pieces"]
    )
    return line("hang.pieces", pieces=named) if named else line("hang.empty")


def hang_lines(warm_up: int, hang: Json) -> tuple[Phrase, ...]:
    """One line for each change of what hangs; nothing at all where nothing ever hangs."""
    hung = hang.get("sets", [])
    if not any(one["pieces"] for one in hung):
        return ()
    lines: list[Phrase] = []
    for (is_work, _), group in groupby(enumerate(hung), key=lambda at: (at[0] >= warm_up, at[1]["pieces"])):
        numbered = list(group)
        if not numbered[0][1]["pieces"] and not any(one["pieces"] for one in hung[: numbered[0][0]]):
            continue  # nothing hangs yet
        first, last = (index - (warm_up if is_work else 0) + 1 for index in (numbered[0][0], numbered[-1][0]))
        place = _place(is_work, first, last, len(hung) - warm_up if is_work else warm_up)
        lines.append(
            line("hang.line", place=place, pieces=pieces(numbered[0][1]), total=Mass(numbered[0][1]["total_g"]))
        )
    return tuple(lines)


def _place(is_work: bool, first: int, last: int, of: int) -> Phrase:
    kind = "work" if is_work else "warm_up"
    if (first, last) == (1, of):
        return line(f"hang.{kind}")
    return line(f"hang.{kind}_set", n=first) if first == last else line(f"hang.{kind}_sets", first=first, last=last)


def session(advice: Json, planned: Sequence[PrescribedSet], warm_up: Sequence[PrescribedSet]) -> tuple[Phrase, ...]:
    """The session as it stands before the athlete: warm-up, sets, what to hang, cautions, why."""
    lines: list[Phrase] = []
    if warm_up:
        lines.append(line("session.warm_up", parts=warming(warm_up)))
    lines += [line("session.work", part=part) for part in prescribed(planned)]
    lines += hang_lines(len(warm_up), advice.get("hang") or {})
    lines += [line("words", text=f"{why}") for why in advice.get("why", ())]
    lines += [line("session.caution", text=text) for text in advice.get("cautions", ())]
    return tuple(lines)
