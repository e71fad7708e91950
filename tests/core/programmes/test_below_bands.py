"""Somebody whom the widest band does not lift yet: rows rise, a retest every two weeks, a word to the coach."""

from typing import Any

import pytest

from core.advice import Advice
from core.advise import advise
from tests.core.programmes.histories import BANDS, file_of, session

SMALL = {"unit": "kg", "band": [BANDS[2]]}  # 9 kg in the mean, for 100 kg
WEAK = {"kit": SMALL, "aim": "first_pull_up", "sex": "female", "mass_g": 100_000}


def ground(ago: int, rows: int = 8, hang: int = 20, negative: int = 6, failed: bool = False) -> dict[str, Any]:
    """A session without a pull-up."""
    sets = [
        {"reps": 1, "seconds": hang, "exercise": "hang", "added_g": 0, "bands": []},
        {"reps": 1, "seconds": negative, "exercise": "negative", "added_g": 0, "bands": []},
        {"reps": rows, "exercise": "row", "added_g": 0, "bands": [], "failed": failed},
    ]
    return session(ago) | {"sets": sets}


def attempt(ago: int, reps: int = 0) -> dict[str, Any]:
    return session(ago, reps, bands=["jade"], failed=True)


def after(*past: dict[str, Any], **changes: Any) -> Advice:
    return advise(file_of(list(past), **WEAK | changes))


def codes(advice: Advice) -> set[str]:
    return {one.code for one in advice.reasons}


RETESTS = [
    ("a first session", (), {}, True),
    ("tried last week", (attempt(7), ground(3)), {}, False),
    ("tried two weeks ago", (attempt(14), ground(7), ground(3)), {}, True),
    ("in pain", (attempt(20), ground(3) | {"pain": {"place": "elbow", "score": 3, "morning": 1}}), {}, False),
    ("too young for a maximum", (attempt(20), ground(3)), {"born": "2013-01-01"}, False),
]


@pytest.mark.parametrize(("name", "past", "changes", "due"), RETESTS, ids=[case[0] for case in RETESTS])
def test_a_retest_with_the_widest_help_every_two_weeks(
    name: str, past: tuple[dict[str, Any], ...], changes: dict[str, Any], due: bool
) -> None:
    advice = after(*past, **changes)
    tried = [one for one in advice.sets if one.exercise.value == "pull_up"]
    assert {one.exercise.value for one in advice.sets} & {"hang", "row", "scapular_pull"}
    assert [(one.reps, one.bands, one.amrap) for one in tried] == [(1, ("jade",), True)] * due
    assert ("attempt_helped" in codes(advice)) is due


ROWS = [
    ("none yet", (ground(10) | {"sets": ground(10)["sets"][:2] * 2}, attempt(7)), 8),
    ("eight done", (attempt(7), ground(3, rows=8)), 9),
    ("twelve done", (attempt(7), ground(5, rows=12), ground(3, rows=11)), 13),
    ("fifteen are enough", (attempt(7), ground(3, rows=15)), 15),
    ("a failed one does not rise", (attempt(7), ground(3, rows=10, failed=True)), 10),
]


@pytest.mark.parametrize(("name", "past", "reps"), ROWS, ids=[case[0] for case in ROWS])
def test_rows_rise(name: str, past: tuple[dict[str, Any], ...], reps: int) -> None:
    assert {one.reps for one in after(*past).sets if one.exercise.value == "row"} == {reps}


def test_a_session_grows_by_a_set_a_week() -> None:
    first, second = ground(12), ground(5) | {"sets": [*ground(5)["sets"], *ground(5)["sets"][:1]]}
    assert [len(after(*past).sets) for past in ((), (first,), (first, second))] == [3, 4, 5]
    assert len(after(first, second, limits={"sets": 2}).sets) == 2


@pytest.mark.parametrize(("name", "latest", "flat"), [("flat", ground(2), True), ("longer", ground(2, hang=25), False)])
def test_the_coach_hears_of_four_flat_weeks(name: str, latest: dict[str, Any], flat: bool) -> None:
    advice = after(attempt(40), *(ground(ago) for ago in (35, 30, 25, 20, 15, 10)), latest)
    assert advice.tell_coach is flat
    assert ("below_bands_flat" in codes(advice)) is flat
    assert not after(attempt(20), ground(15), ground(10), latest).tell_coach  # not four weeks yet
