"""What binds a session: a miss today, a hold, pain, the coach's own sets, the weeks around; and that reasons agree."""

from typing import Any

import pytest

from core.advice import Advice
from core.advise import advise
from tests.core.programmes.histories import BANDS, MICRO, TODAY, file_of, session
from tests.core.test_advise import MONTH, codes, half_done, ordered, top_g, weeks_of

# Name, what was done of four fives at 7.5 kg, sets left, and the heaviest load that they may have.
MISSES = [
    ("failed on the last of two", (5, 2), 1, 7_500),
    ("failed at once, far too few", (1,), 3, 5_250),
    ("failed on the third: one is left, lighter", (5, 5, 3), 1, 5_250),
]


@pytest.mark.parametrize(("name", "reps", "left", "most_g"), MISSES, ids=[case[0] for case in MISSES])
def test_after_a_failure_the_rest_is_lighter(name: str, reps: tuple[int, ...], left: int, most_g: int) -> None:
    advice = advise(file_of([*MONTH, half_done(*reps, failed=True)]))
    assert advice.day == TODAY
    assert len(advice.sets) == left
    assert top_g(advice) <= most_g
    assert "lighter_left" in codes(advice)
    assert not {"step_up", "reps_up", "same_again"} & set(codes(advice))


def test_after_a_failure_nobody_is_given_a_set_again_and_again() -> None:
    begun = half_done(5, 2, 3)
    begun["sets"][1]["failed"] = True
    assert advise(file_of([*MONTH, begun])).day > TODAY


def test_one_repetition_short_takes_no_set() -> None:
    advice = advise(file_of([*MONTH, half_done(5, 4)]))
    assert len(advice.sets) == 2
    assert "lighter_left" not in codes(advice)


HELD = {"day": "2026-10-05", "by": "coach", "kind": "hold"}
UP = {"reps": 5, "added_g": 5_000, "bands": ["amber"], "rest_s": 180}


def on_amber(ago: int, *sets: tuple[int, int], asked: dict[str, Any] = UP) -> dict[str, Any]:
    done = [{"reps": reps, "added_g": added_g, "bands": ["amber"]} for reps, added_g in sets]
    return session(ago) | {"sets": done, "prescribed": [asked] * 4}


HOLDS = [
    ("the step was planned before the hold", [on_amber(0, (6, 0), (6, 0), (5, 0))], 0),
    ("last time was lighter than planned", [on_amber(3, (6, 0), (6, 0), (5, 0))], 0),
    ("one heavier set last time, today light", [on_amber(3, (5, 2_500), (6, 0), (5, 0)), on_amber(0, (6, 0))], 0),
    ("nothing yet today", [on_amber(3, (5, 2_500), (5, 2_500))], 2_500),
]


@pytest.mark.parametrize("aim", ["first_pull_up", "strength", "hypertrophy"])
@pytest.mark.parametrize(("name", "latest", "most_g"), HOLDS, ids=[case[0] for case in HOLDS])
def test_a_hold_binds_whatever_was_planned(name: str, latest: list[dict[str, Any]], most_g: int, aim: str) -> None:
    past = [session(ago, 5, 5, 5, asked=5, added_g=2_500, bands=["amber"], rpe=8.0) for ago in (12, 10, 7, 5)]
    advice = advise(file_of([*past, *latest], kit=MICRO | {"band": BANDS}, aim=aim, orders=[HELD]))
    assert advice.sets
    assert all(one.bands == ("amber",) and one.added_g <= most_g for one in advice.sets)
    assert "order_hold" in codes(advice)
    assert not {"step_up", "reps_up", "change_over_next"} & set(codes(advice))


SORES = [
    ({"score": 3}, True),
    ({"score": 5}, True),
    ({"score": 5, "morning": 4}, True),
    ({"score": 4, "morning": 1}, False),
]


@pytest.mark.parametrize("aim", ["strength", "hypertrophy", "first_pull_up", "endurance", "power"])
@pytest.mark.parametrize(("pain", "told"), SORES)
def test_pain_of_three_to_five_holds_the_load_and_takes_a_set(pain: dict[str, Any], told: bool, aim: str) -> None:
    past = [session(ago, 5, 5, 5, asked=5, added_g=7_500, rpe=8.0) for ago in (12, 10, 7, 5, 3)]
    past[-1]["pain"] = {"place": "elbow"} | pain
    finest = MICRO | {"plate": [*MICRO["plate"], {"mass": 0.25, "count": 2}]}
    advice = advise(file_of(past, kit=finest, aim=aim))
    assert len(advice.sets) == 2
    assert sum(one.reps for one in advice.sets) <= 15
    assert all(one.added_g == 0 or 1_000 <= one.added_g <= 7_500 for one in advice.sets)
    assert aim in ("endurance", "power") or top_g(advice) == 7_500
    assert advice.tell_coach is told


def test_the_coachs_own_sets_do_not_outweigh_pain() -> None:
    sore = session(1, 5, 5, 5, asked=5, added_g=7_500, pain={"place": "elbow", "score": 4, "morning": 1})
    order = {"day": "2026-10-01", "by": "coach", "kind": "set", "sets": 5, "reps": 8, "added_g": 20_000}
    advice = advise(file_of([*MONTH[:-1], sore], orders=[order]))
    assert len(advice.sets) == 2
    assert top_g(advice) <= 7_500
    assert sum(one.reps for one in advice.sets) <= 15


def said(advice: Advice) -> set[str]:
    return {one.key for one in advice.cautions}


STEPS = {"step_up", "step_down", "reps_up", "same_again", "week_rises_slowly"}
OWN = [
    ("likely", {"sets": 2, "reps": 3, "added_g": 7_500}, 7_500, set(), set(), False),
    ("far too heavy", {"sets": 3, "reps": 5, "added_g": 40_000}, 40_000, set(), {"caution.order_unlikely"}, True),
    ("over the kit, six pieces at most", {"sets": 3, "reps": 1, "added_g": 90_000}, 70_000, {"order_load_cut"},
     {"caution.order_over_kit", "caution.order_unlikely"}, True),
    ("between two loads", {"sets": 2, "reps": 3, "added_g": 6_100}, 6_000, {"order_load_cut"}, set(), False),
    ("the load left open", {"sets": 2, "reps": 3}, None, set(), set(), False),
]  # fmt: skip


@pytest.mark.parametrize(("name", "order", "load", "cut", "doubts", "told"), OWN, ids=[case[0] for case in OWN])
def test_own_sets_have_their_own_reasons(
    name: str, order: dict[str, Any], load: int | None, cut: set[str], doubts: set[str], told: bool
) -> None:
    advice = ordered({"kind": "set"} | order)
    assert load is None or {one.added_g for one in advice.sets} == {load}
    assert not STEPS & set(codes(advice))
    assert {"order_load_cut", "order_sets_cut"} & set(codes(advice)) == cut
    assert {one for one in said(advice) if one.startswith("caution.order")} == doubts
    assert advice.tell_coach is told


def test_own_sets_cut_to_the_limit_say_so() -> None:
    order = {"kind": "set", "sets": 5, "reps": 3, "added_g": 5_000}
    assert "order_sets_cut" in codes(ordered(order, limits={"sets": 2}))
    assert "order_sets_cut" not in codes(ordered(order, limits={"sets": 5}))


@pytest.mark.parametrize(("kind", "day", "most_g"), [
    ("hold", "2026-10-02", 7_500), ("hold", "2026-09-30", 20_000), ("cap", "2026-09-30", 10_000),
])  # fmt: skip
def test_a_newer_hold_and_any_cap_bind_own_sets(kind: str, day: str, most_g: int) -> None:
    own = {"day": "2026-10-01", "by": "coach", "kind": "set", "sets": 3, "reps": 3, "added_g": 20_000}
    other = {"day": day, "by": "coach", "kind": kind} | ({"added_g": 10_000} if kind == "cap" else {})
    advice = advise(file_of(MONTH, orders=[own, other]))
    assert top_g(advice) == most_g
    assert ("order_hold" in codes(advice)) is (most_g == 7_500)


def test_a_lighter_week_is_no_step_up() -> None:
    for count in (6, 9):
        advice = advise(file_of(weeks_of(count, 5, 5, 5, 5, added_g=7_500, rpe=7.0)))
        assert "deload" in codes(advice)
        assert not STEPS & set(codes(advice))


def test_four_months_off_are_a_lay_off_and_no_first_session() -> None:
    kit = {"kit": MICRO | {"band": BANDS}, "aim": "first_pull_up"}
    past = [session(ago, 5, 5, 5, asked=5, bands=["amber"], added_g=2_500) for ago in range(200, 120, -3)]
    advice = advise(file_of(past, **kit))
    assert "lay_off" in codes(advice)
    assert not {"first_session", "week_rises_slowly"} & set(codes(advice))
    assert not {"caution.first_band", "caution.first_belt"} & said(advice)
    assert len(advice.sets) <= 3
    assert "first_session" in codes(advise(file_of([], **kit)))


def test_pain_is_not_forgotten_over_a_long_break() -> None:
    past = [session(ago, 5, 5, 5, asked=5) for ago in range(200, 120, -3)]
    past[-1]["pain"] = {"place": "elbow", "score": 7}
    assert advise(file_of(past)).stopped


def test_bands_of_months_ago_are_not_new() -> None:
    old = [session(ago, 5, 5, 5, asked=5, bands=["amber"]) for ago in range(160, 90, -3)]
    new = [session(ago, 1, 1, asked=5, failed=True) for ago in (5, 3)]
    kit = {"kit": MICRO | {"band": BANDS}, "aim": "first_pull_up"}
    back = advise(file_of([*old, *new], **kit))
    assert any(one.bands for one in back.sets)
    assert "caution.first_band" not in said(back)
    assert "caution.first_band" in said(advise(file_of(new, **kit)))


def test_a_first_session_says_nothing_of_the_week() -> None:
    assert "first_session" in codes(advise(file_of([])))
    assert "week_rises_slowly" not in codes(advise(file_of([])))
