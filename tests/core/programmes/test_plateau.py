"""Flat, and why: each cause has its own proposal to the coach."""

from datetime import date, timedelta
from typing import Any

import pytest

from core.advise import advise
from core.files import AthleteFile, athlete_file
from core.language import render
from core.units import Unit
from tests.core.programmes.histories import COARSE, MICRO, TODAY, file_of, session

DAYS = tuple(ago for ago in range(45, 0, -1) if (TODAY - timedelta(days=ago)).weekday() in (0, 2, 4))


def flat(**changes: Any) -> list[dict[str, Any]]:
    """Six weeks of the same fours at RPE 9.5 and the same load."""
    return [session(ago, 4, 4, 4, asked=4, added_g=10_000, rpe=9.5, **changes) for ago in DAYS]


def heavier(file: AthleteFile, mass_g: int) -> AthleteFile:
    data = file.to_json()
    data["bodyweights"] = [
        {"day": (TODAY - timedelta(days=40)).isoformat(), "mass_g": 80_000},
        {"day": (TODAY - timedelta(days=2)).isoformat(), "mass_g": mass_g},
    ]
    return athlete_file(data)


def sore() -> list[dict[str, Any]]:
    past = flat()
    for place in (3, 9):
        past[place]["pain"] = {"place": "elbow", "score": 2, "morning": 1}
    return past


CASES = [
    ("nothing else to blame", file_of(flat()), {"plateau"}),
    ("pain on the way", file_of(sore()), {"plateau_pain"}),
    ("half the days missed", file_of(flat()[::2]), {"plateau_missed_days"}),
    ("plates of 10 kg", file_of(flat(), kit=COARSE), {"plateau_coarse_kit"}),
    ("four kilograms heavier", heavier(file_of(flat()), 84_000), {"plateau_body_mass"}),
]


@pytest.mark.parametrize(("name", "file", "codes"), CASES, ids=[case[0] for case in CASES])
def test_each_cause_has_its_proposal(name: str, file: AthleteFile, codes: set[str]) -> None:
    advice = advise(file)
    assert {one.code for one in advice.proposals} == codes
    assert advice.tell_coach
    assert all(render(one, "en", Unit.KG) for one in advice.proposed)
    assert codes <= {one.code for one in advice.reasons}
    assert not codes & {one.key.removeprefix("reason.") for one in advice.why}


def test_rising_strength_proposes_nothing() -> None:
    past = [session(ago, 5, 5, 5, asked=5, added_g=500 * (45 - ago) // 250 * 250, rpe=8.0) for ago in DAYS]
    assert advise(file_of(past, kit=MICRO)).proposals == ()


def test_a_few_sessions_are_no_plateau() -> None:
    assert advise(file_of(flat()[-4:])).proposals == ()


def test_nobody_young_hears_of_body_mass() -> None:
    file = heavier(file_of(flat(), born="2013-01-01"), 84_000)
    assert "plateau_body_mass" not in {one.code for one in advise(file).reasons}
    assert file.athlete.age(date(2026, 10, 5)) == 13
