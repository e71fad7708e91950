"""Sets in the short typed notation of a language, such that reading it back gives the same sets."""

from collections.abc import Sequence

from core.language.understand import spelling
from core.training import Exercise, Set
from core.units import Unit, amount


def render_sets(sets: Sequence[Set], language: str, unit: Unit) -> str:
    """`5 5 4 @ 7.5 kg rpe 8`; one line for each change of load, band or exercise."""
    lines: list[list[Set]] = []
    for one in sets:
        if (
            lines
            and _gear(lines[-1][-1]) == _gear(one)
            and not (_ends(lines[-1][-1]) or one.exercise is not lines[-1][-1].exercise)
        ):
            lines[-1].append(one)
        else:
            lines.append([one])
    return "\n".join(_line(group, language, unit) for group in lines)


def _ends(one: Set) -> bool:
    return one.rpe is not None or one.failed


def _gear(one: Set) -> tuple[int | None, tuple[str, ...] | None]:
    return one.added_g, one.bands


def _line(group: Sequence[Set], language: str, unit: Unit) -> str:
    words = spelling(language)
    first, last = group[0], group[-1]
    parts = (
        []
        if first.exercise is Exercise.PULL_UP
        else [words["exercise"].get(first.exercise.value, first.exercise.value)]
    )
    parts.append(" ".join(_count(one) for one in group))
    if first.bands:
        parts += [words["band"].format(" + ".join(first.bands))]
    if first.added_g == 0 and not first.bands:
        parts.append(words["unweighted"])
    elif first.added_g:
        parts.append(f"@ {_number(first.added_g, unit, words['decimal'])} {unit.value}")
    if last.rpe is not None:
        parts.append(f"rpe {f'{last.rpe:g}'.replace('.', words['decimal'])}")
    if last.failed:
        parts.append(words["failed"])
    return " ".join(parts)


def _count(one: Set) -> str:
    return str(one.reps) if one.seconds is None else f"{one.seconds} sec"


def _number(mass_g: int, unit: Unit, mark: str) -> str:
    return str(amount(mass_g, unit)).replace(".", mark)
