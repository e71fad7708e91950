"""The virtual athletes, the rules by hand, the oracle, and the table that compares them."""

import math
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from random import Random
from typing import Any

import pytest

from bot.cli import main
from bot.pictures.season import season_png
from core.simulate import run, season
from core.simulate.athletes import HELD_OUT, TUNED, Body, Nature, drawn, overnight, perform, rested_g
from core.simulate.kits import KITS, RATIOS, rungs, stated_pulls
from core.simulate.laws import FRESH, Bent, Drained, Law, Straight
from core.simulate.oracle import oracle
from core.simulate.picture import season_picture
from core.simulate.report import athlete, estimates, steps
from core.simulate.rules import double_progression, two_for_two
from core.simulate.season import LIMITS, blind

Json = dict[str, Any]
LAWS: list[Law] = [Bent(0.44, 0.062, 1.0, 100.0), Drained(0.0314, 1.0, 85.0), Straight(0.0282, 1.0, 45.0)]
RULES = {"two for two": blind(two_for_two), "double progression": blind(double_progression), "oracle": oracle}


@pytest.mark.parametrize("law", LAWS, ids=["bent", "drained", "straight"])
def test_a_law_gives_one_repetition_at_the_1rm_and_more_when_lighter(law: Law) -> None:
    assert law.possible(1.0, FRESH) == pytest.approx(1.0)
    found = [law.possible(share, FRESH) for share in (1.05, 0.95, 0.9, 0.8, 0.7)]
    assert found == sorted(found)
    assert found[0] < 1.0
    assert law.possible(0.8, FRESH) == pytest.approx(8.1, abs=0.6)  # Johnson et al. 2009: 8.1 at 80 %


@pytest.mark.parametrize("law", LAWS, ids=["bent", "drained", "straight"])
def test_sets_tire_rests_refill_and_easy_sets_train_less(law: Law) -> None:
    fresh = law.possible(0.76, FRESH)
    tank = law.spend(FRESH, round(fresh), fresh)
    short, long = (law.possible(0.76, law.rest(tank, seconds)) for seconds in (60, 300))
    assert short < long < fresh
    assert law.training(0.85, 5, 7.0) > law.training(0.85, 2, 7.0)
    assert law.training(0.85, 5, 7.0) > law.training(0.5, 5, 20.0)
    assert law.training(0.85, 0, 7.0) == 0.0


def test_the_families_are_not_the_engine_s_curve_and_not_each_other() -> None:
    """At 50 % of the 1RM the laws and 1/(1 + k(r - 1)) part by more than two repetitions."""
    found = [law.possible(0.5, FRESH) for law in LAWS] + [1 + (1 / 0.5 - 1) / 0.0352]
    assert min(abs(one - other) for one, other in combinations(found, 2)) > 2.0


def nature(turn: int = 0, kit: str = "micro") -> Nature:
    return athlete(3, turn, kit, TUNED[turn % 2])


def planned(reps: int, amrap: bool = False) -> Json:
    return {"reps": reps, "added_g": 0, "bands": [], "rest_s": 180, "rpe": None, "amrap": amrap}


def test_nobody_does_more_than_asked_nor_fewer_without_failing() -> None:
    rng, seen = Random(5), set()
    for turn in range(40):
        who = nature(turn)
        body = Body(float(who.mass_g))
        result = perform(who, body, planned(9), True, rng)
        assert 0 <= result.shown["reps"] <= 9
        assert result.failed == (result.shown["reps"] < 9)
        assert not (result.shown["failed"] and not result.failed)
        assert result.shown["rpe"] is None or 4.0 <= result.shown["rpe"] <= 10.0
        seen.add(result.failed)
    assert seen == {False, True}


def test_an_open_set_stops_by_feeling_and_sometimes_fails() -> None:
    rng = Random(6)
    results = [
        perform(nature(turn), Body(float(nature(turn).mass_g)), planned(1, True), True, rng) for turn in range(60)
    ]
    assert 0 < sum(one.failed for one in results) < 30


def test_bands_pull_what_they_pull_and_not_what_the_kit_says() -> None:
    kit = KITS["bands"]
    who = drawn("bent", RATIOS["bands"], stated_pulls(kit), Random(1))
    off = [true / stated_pulls(kit)[label] - 1 for label, true in who.pulls]
    assert all(abs(one) <= 0.19 for one in off)
    assert any(abs(one) > 0.03 for one in off)


def test_a_long_lay_off_costs_strength_and_a_short_one_none() -> None:
    who, rng = nature(), Random(2)
    body = Body(float(who.mass_g), gain=0.05)
    for _ in range(21):
        body = overnight(who, body, rng)
    assert body.gain == 0.05
    for _ in range(30):
        body = overnight(who, body, rng)
    assert rested_g(who, body) < 0.98 * rested_g(who, Body(float(who.mass_g), gain=0.05))


def test_rungs_are_every_sum_of_plates_and_every_single_band() -> None:
    kit = {"plate": [{"mass": 1.25, "count": 2}], "band": [{"label": "amber", "hang": 24.0, "top": 12.0}]}
    assert [(one.change_g, one.added_g, one.bands) for one in rungs(kit)] == [
        (-18_000, 0, ("amber",)),
        (-16_750, 1_250, ("amber",)),
        (-15_500, 2_500, ("amber",)),
        (0, 0, ()),
        (1_250, 1_250, ()),
        (2_500, 2_500, ()),
    ]


def file(*last_sets: int, added_g: int = 5_000, reps: int = 5) -> Json:
    """A test, then sessions of three sets at one load, with these repetitions in the last set."""
    asked = [planned(reps) | {"added_g": added_g} for _ in range(3)]
    test = {"sets": [{"reps": 8, "rpe": None}], "prescribed": [planned(1, True)]}
    past = [
        {"sets": [{"reps": reps, "rpe": 8.0}, {"reps": reps, "rpe": 8.0}, {"reps": n, "rpe": 8.0}], "prescribed": asked}
        for n in last_sets
    ]
    return {
        "athlete": {"limits": dict(LIMITS) | {"sets": 3}},
        "kit": KITS["micro"],
        "bodyweights": [{"day": "2026-01-05", "mass_g": 80_000}],
        "sessions": [test, *past],
    }


@pytest.mark.parametrize(
    ("last_sets", "moves"), [((5, 5), 0), ((7, 5), 0), ((5, 7), 0), ((7, 7), 1), ((4, 5), 0), ((4, 4), -1)]
)
def test_two_for_two_moves_after_two_sessions_and_not_one(last_sets: tuple[int, int], moves: int) -> None:
    """Two over the target in the last set, twice running, is a step; two misses are one back; else none."""
    found = two_for_two(file(*last_sets))["sets"]
    assert (found[0]["added_g"] > 5_000) - (found[0]["added_g"] < 5_000) == moves
    assert [one["amrap"] for one in found] == [False, False, True]


def test_double_progression_adds_a_repetition_then_a_step() -> None:
    assert [one["reps"] for one in double_progression(file(5))["sets"]] == [6, 6, 6]
    up = double_progression(file(7, reps=7))["sets"]
    assert (up[0]["reps"], up[0]["added_g"] > 5_000) == (4, True)
    assert [one["reps"] for one in double_progression(file(4))["sets"]] == [4, 4, 4]


def test_a_season_is_its_seed_and_keeps_to_the_limits() -> None:
    def play(seed: str) -> Any:
        return season(nature(), KITS["micro"], "strength", 4, RULES["two for two"], Random(seed))

    assert play("1") == play("1")
    assert play("1") != play("2")
    for one in play("1").trained:
        assert len(one.asked) <= LIMITS["sets"]
        assert sum(each["amrap"] for each in one.asked) <= LIMITS["open_sets"]


def test_the_oracle_gains_most_and_fails_little() -> None:
    report = run(1, 6, 6, "micro", RULES)
    rows = {row.policy: row for row in report.rows}
    assert rows["oracle"].of_oracle == 1.0
    assert all(row.of_oracle < 1.0 for name, row in rows.items() if name != "oracle")
    assert rows["oracle"].failed < 0.07
    assert len(report.lines()) == 5
    assert report.to_json()["rows"][0]["policy"] == "two for two"


def test_the_table_shows_recklessness_and_idleness_for_what_they_are() -> None:
    """Too heavy fails more than one set in twenty; far too light gains next to nothing."""

    def always(share: float, reps: int) -> Any:
        def policy(file: Json, who: Nature, body: Body) -> Json:
            added_g = max(0, round(share * rested_g(who, body) - body.mass_g))
            return {"sets": [planned(reps) | {"added_g": added_g} for _ in range(4)]}

        return policy

    rows = run(1, 6, 6, "micro", {"reckless": always(0.93, 5), "idle": always(0.5, 1), "oracle": oracle}).rows
    assert rows[0].failed > 0.3
    assert rows[1].of_oracle < 0.5
    assert rows[1].failed < 0.05


def test_error_coverage_and_steps_are_what_they_say() -> None:
    """An estimate 10 % off with a narrow interval scores 10 % and nothing; a doubled load is a step of 100 %."""

    def off(file: Json, who: Nature, body: Body) -> Json:
        true = rested_g(who, body)
        said = {"one_rm_g": round(true * 1.1), "low_g": round(true * 1.05), "high_g": round(true * 1.15)}
        added_g = round(body.mass_g) * (len(file["sessions"]) == 3)
        return {"sets": [planned(1) | {"added_g": added_g}], "estimate": said}

    one = season(replace(nature(), attends=1.0), KITS["micro"], "strength", 6, off, Random("7"))
    errors, inside = estimates([one])
    assert errors == pytest.approx([math.log(1.1)] * len(errors), abs=1e-4)
    assert not any(inside)
    assert max(steps(one)) == pytest.approx(1.0, abs=0.03)


def test_the_held_out_family_is_not_among_the_tuned_and_can_play() -> None:
    assert not set(TUNED) & set(HELD_OUT)
    rows = run(1, 2, 3, "micro", {"oracle": oracle}, families=HELD_OUT).rows
    assert rows[0].gain > 0


def test_the_picture_of_a_season_says_and_shows_it() -> None:
    one = season(nature(), KITS["micro"], "strength", 4, RULES["two for two"], Random("1"))
    picture = season_picture(one, "one season")
    assert len(picture.days) == len(picture.true) == len(picture.load)
    assert picture.words.startswith(f"{len(picture.days)} sessions")
    assert season_png(picture).startswith(b"\x89PNG")


def test_the_command_draws_a_season_and_names_a_folder_that_is_not_there(
    tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    season_of = ("simulate", "--weeks", "2", "--picture")
    assert main([*season_of, str(tmp_path / "season.png")]) == 0
    assert b" sessions, " in capfdbinary.readouterr().out
    assert (tmp_path / "season.png").read_bytes().startswith(b"\x89PNG")
    assert main([*season_of, str(tmp_path / "nowhere" / "season.png")]) == 2
    assert b"cannot be written" in capfdbinary.readouterr().err
