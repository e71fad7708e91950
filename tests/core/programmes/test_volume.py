"""How many sets: limits, the week's rise, first sessions, safety, minutes."""

from typing import Any

import pytest

from core.advise import advise
from core.safety import judge
from tests.core.programmes.histories import TODAY, file_of, session


def weeks_of(count: int, *sets: int) -> list[dict[str, Any]]:
    """So many weeks before today's, a Monday, with so many sets on Monday, Wednesday, Friday."""
    days = [
        (7 * week - day, number) for week in range(count, 0, -1) for day, number in zip((0, 2, 4), sets, strict=True)
    ]
    return [session(ago, *(5,) * number, asked=5, added_g=7_500, rpe=8.0) for ago, number in days if number]


CASES = [
    ("a first session is short", [], {}, 3),
    ("and shorter under a limit", [], {"sets": 2}, 2),
    ("nine a week become ten: four on Monday", weeks_of(3, 3, 3, 3), {}, 4),
    ("the limit binds", weeks_of(3, 3, 3, 3), {"sets": 3}, 3),
    ("twelve a week become fourteen", weeks_of(3, 4, 4, 4), {}, 5),
    ("three a week stay at a set more", weeks_of(3, 1, 1, 1), {}, 2),
    ("a missed week does not lower the base", weeks_of(3, 4, 4, 4)[:-3], {}, 5),
    ("no sets allowed", weeks_of(3, 4, 4, 4), {"sets": 0}, 0),
]


@pytest.mark.parametrize(("name", "past", "limits", "sets"), CASES, ids=[case[0] for case in CASES])
def test_sets(name: str, past: list[dict[str, Any]], limits: dict[str, Any], sets: int) -> None:
    assert len(advise(file_of(past, limits=limits)).sets) == sets


def test_a_week_is_shared_out_over_its_days() -> None:
    past = weeks_of(3, 3, 3, 3)
    for day, expected in (("2026-10-05", 4), ("2026-10-07", 3), ("2026-10-09", 3)):
        file = file_of(past, today=day)
        assert len(advise(file).sets) == expected
        ago = {"2026-10-05": 0, "2026-10-07": -2}.get(day)
        if ago is not None:
            past = [*past, session(ago, *(5,) * expected, asked=5, added_g=7_500, rpe=8.0)]


def test_pain_takes_one_set_and_a_lay_off_half() -> None:
    past = weeks_of(3, 4, 4, 4)
    sore = [*past[:-1], past[-1] | {"pain": {"place": "elbow", "score": 4, "morning": 1}}]
    assert len(advise(file_of(sore)).sets) == 3
    advice = advise(file_of([session(35, 5, 5, 5, 5, asked=5, added_g=7_500)]))
    assert len(advice.sets) == 2
    assert max(one.added_g for one in advice.sets) <= 0.95 * 87_500 - 80_000


def test_the_verdict_is_that_of_safety() -> None:
    file = file_of(weeks_of(3, 4, 4, 4))
    assert judge(file.athlete, file.sessions, file.orders, TODAY).fewer_sets == 0
