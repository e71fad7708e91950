"""Readings: tables of cases, row by row."""

import pytest

from core.replies import Context, read

SESSION = {"sets": [{"reps": 5, "added_g": 7500, "bands": []}] * 3}


@pytest.mark.parametrize(
    ("text", "reps"),
    [("5 5 4", [5, 5, 4]), ("3x5", [5, 5, 5]), ("five five four", [5, 5, 4]), ("hoping for 5 5 5", [])],
)
def test_a_report_in_english(text: str, reps: list[int]) -> None:
    reading = read(text, Context.from_json({"prescribed": SESSION}))
    assert [one.reps for one in reading.sets] == reps
    assert all(one.added_g == 7500 for one in reading.sets)
