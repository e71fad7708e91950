"""The next session, case by case: which day, what is left of today, what orders and the weeks around do to it."""

import subprocess
import sys
from datetime import date, timedelta
from typing import Any

import pytest

from core.advice import Advice
from core.advise import Case, advise, prescribe
from core.files import athlete_file
from core.orders import OrderKind
from core.programmes.setting import profile_of
from core.strength import estimate
from core.training import Aim
from tests.core.programmes.histories import BANDS, BELLS, COARSE, MICRO, TODAY, athlete_json, file_of, session

MONTH = [
    session(ago, 5, 5, 5, 5, asked=5, added_g=7_500, rpe=8.0) for ago in (28, 26, 24, 21, 19, 17, 14, 12, 10, 7, 5, 3)
]


def codes(advice: Advice) -> list[str]:
    return [one.code for one in advice.reasons]


def top_g(advice: Advice) -> int:
    return max(one.added_g for one in advice.sets)


BEGUN = session(0, 5) | {"prescribed": [{"reps": 5}] * 3}
MOVED = {"day": "2026-10-05", "by": "athlete", "kind": "extra"}
DAYS = [
    ("a training day", {}, [], "2026-10-05"),
    ("not one", {"training_days": ["wed"]}, [], "2026-10-07"),
    ("no days of one's own", {"training_days": []}, [], "2026-10-05"),
    ("today is done", {}, [session(0, 5, 5, 5, asked=5)], "2026-10-07"),
    ("today is skipped", {}, [session(0, skipped=True)], "2026-10-07"),
    ("begun on another day", {"training_days": ["wed"]}, [BEGUN], "2026-10-05"),
    ("only Mondays, today done", {"training_days": ["mon"]}, [session(0, 5, asked=5)], "2026-10-12"),
    ("moved here", {"training_days": ["wed"], "orders": [MOVED]}, [], "2026-10-05"),
]


@pytest.mark.parametrize(("name", "changes", "past", "day"), DAYS, ids=[case[0] for case in DAYS])
def test_the_day(name: str, changes: dict[str, Any], past: list[dict[str, Any]], day: str) -> None:
    advice = advise(file_of(past, **changes))
    assert advice.day.isoformat() == day
    assert advice.sets


def half_done(*reps: int, **more: Any) -> dict[str, Any]:
    """Four fives at 7.5 kg prescribed today, these done so far."""
    one = session(0, *reps, asked=5, added_g=7_500, **more)
    return one | {"prescribed": one["prescribed"][:1] * 4}


def test_the_rest_of_today_is_the_prescribed_rest() -> None:
    advice = advise(file_of([*MONTH, half_done(5, 5)]))
    assert [(one.reps, one.added_g) for one in advice.sets] == [(5, 7_500), (5, 7_500)]
    assert advice.warm_up == ()
    assert "rest_of_today" in codes(advice)
    assert len(advice.hang["sets"]) == len(advice.expected) == 2


def test_after_a_miss_the_rest_is_no_harder() -> None:
    advice = advise(file_of([*MONTH, half_done(5, 2, failed=True)]))
    assert advice.day == TODAY
    assert advice.sets
    assert all(one.reps < 5 and one.added_g == 7_500 and not one.amrap for one in advice.sets)


@pytest.mark.parametrize(
    ("pain", "left"),
    [({"place": "elbow", "score": 2}, 1), ({"place": "elbow", "score": 4}, 0), ({"place": "elbow", "score": 8}, 0)],
)
def test_pain_today_takes_from_the_rest(pain: dict[str, Any], left: int) -> None:
    advice = advise(file_of([*MONTH, half_done(5, 5, pain=pain)]))
    today = [one for one in advice.sets if advice.day == TODAY]
    assert len(today) <= left


def test_sets_without_a_prescription_count_against_the_plan() -> None:
    whole = advise(file_of(MONTH))
    rest = advise(file_of([*MONTH, session(0, 5, added_g=7_500)]))
    assert rest.day == TODAY
    assert len(rest.sets) == len(whole.sets) - 1


ORDERS = [
    ("hold", {"kind": "hold"}, "order_hold"),
    ("cap", {"kind": "cap", "added_g": 5_000}, "order_cap"),
    ("set", {"kind": "set", "sets": 2, "reps": 3, "added_g": 10_000, "rpe": 7.0}, "order_set"),
    ("aim", {"kind": "aim", "aim": "hypertrophy"}, "order_aim"),
    ("note", {"kind": "note", "text": "Chin over!"}, "order_note"),
    ("pause", {"kind": "pause"}, "order_pause"),
    ("away", {"kind": "away", "until": "2026-10-09"}, "away_until"),
]


def ordered(order: dict[str, Any], **changes: Any) -> Advice:
    given = {"day": "2026-10-01", "by": "coach"} | order
    return advise(file_of(MONTH, orders=[given], **changes))


@pytest.mark.parametrize(("name", "order", "code"), ORDERS, ids=[case[0] for case in ORDERS])
def test_an_order_is_a_reason(name: str, order: dict[str, Any], code: str) -> None:
    assert code in codes(ordered(order))
    assert code not in codes(advise(file_of(MONTH)))
    assert code not in codes(ordered(order | {"day": "2026-10-06"}))  # not yet in force


def test_hold_and_cap_bind() -> None:
    assert top_g(ordered({"kind": "hold"})) <= 7_500
    assert top_g(ordered({"kind": "cap", "added_g": 5_000})) <= 5_000


def test_the_coachs_own_sets_stand() -> None:
    advice = ordered({"kind": "set", "sets": 2, "reps": 3, "added_g": 10_000, "rpe": 7.0})
    assert [(one.reps, one.added_g, one.rpe, one.amrap) for one in advice.sets] == [(3, 10_000, 7.0, False)] * 2


def test_the_coachs_plan_leaves_the_load_to_the_engine() -> None:
    light = ordered({"kind": "set", "sets": 3, "reps": 8})
    heavy = ordered({"kind": "set", "sets": 3, "reps": 3})
    assert [one.reps for one in light.sets] == [8, 8, 8]
    assert [one.reps for one in heavy.sets] == [3, 3, 3]
    assert top_g(light) < top_g(heavy)
    easy = ordered({"kind": "set", "sets": 3, "reps": 3, "rpe": 4.0})
    assert top_g(easy) < top_g(heavy)
    assert {one.rpe for one in easy.sets} == {4.0}


def test_orders_do_not_lift_limits_or_pain() -> None:
    limited = ordered({"kind": "set", "sets": 5, "reps": 3, "added_g": 5_000}, limits={"sets": 2})
    assert len(limited.sets) == 2
    hurt = file_of([*MONTH, session(1, 5, pain={"place": "elbow", "score": 7})], orders=[
        {"day": "2026-10-01", "by": "coach", "kind": "set", "sets": 5, "added_g": 5_000}
    ])  # fmt: skip
    assert advise(hurt).sets == ()
    assert advise(hurt).tell_coach


@pytest.mark.parametrize("order", [{"kind": "pause"}, {"kind": "away", "until": "2026-10-09"}])
def test_away_and_paused_have_nothing(order: dict[str, Any]) -> None:
    advice = ordered(order)
    assert advice.sets == advice.warm_up == ()
    assert advice.hang == {"sets": [], "moves": 0}
    assert advice.to_json()["why"]


def test_an_aim_by_order_trains_for_it() -> None:
    assert max(one.reps for one in ordered({"kind": "aim", "aim": "hypertrophy"}).sets) >= 6


def weeks_of(count: int, *reps: int, **more: Any) -> list[dict[str, Any]]:
    """So many whole weeks of Monday, Wednesday, Friday before today, a Monday."""
    days = [7 * week - day for week in range(count, 0, -1) for day in (0, 2, 4)]
    return [session(ago, *reps, asked=reps[0], **more) for ago in days]


@pytest.mark.parametrize(("count", "deload"), [(3, False), (5, False), (6, True), (9, True)])
def test_a_lighter_week_after_six(count: int, deload: bool) -> None:
    file = file_of(weeks_of(count, 5, 5, 5, 5, added_g=7_500, rpe=8.0))
    assert ("deload" in codes(advise(file))) is deload
    assert (len(advise(file).sets) == 2) is deload


def test_after_the_lighter_week_work_goes_on() -> None:
    past = weeks_of(8, 5, 5, 5, 5, added_g=7_500)
    light = [one | {"sets": one["sets"][:2], "prescribed": one["prescribed"][:2]} for one in past[-3:]]
    advice = advise(file_of(past[:-3] + light))
    assert "deload" not in codes(advice)
    assert len(advice.sets) >= 4


def test_a_missed_week_is_no_failure() -> None:
    past = weeks_of(5, 5, 5, 5, 5, added_g=7_500, rpe=8.0)[:-3]
    advice = advise(file_of(past))
    assert top_g(advice) >= 7_500
    assert not {"reps_missed", "set_failed"} & set(codes(advice))


def test_taper_and_test_day() -> None:
    def before(day: str) -> Advice:
        return advise(file_of(MONTH, orders=[{"day": day, "by": "coach", "kind": "test"}]))

    usual = advise(file_of(MONTH))
    assert "taper" not in codes(before("2026-10-26"))
    tapered = before("2026-10-14")
    assert "taper" in codes(tapered)
    assert len(tapered.sets) <= 0.6 * len(usual.sets)
    assert top_g(tapered) >= 7_500
    test = before("2026-10-05")
    assert [one.amrap for one in test.sets] == [True]
    assert "test_day" in codes(test)


def test_nobody_young_is_tested() -> None:
    file = file_of(MONTH, born="2013-01-01", orders=[{"day": "2026-10-05", "by": "coach", "kind": "test"}])
    assert not any(one.amrap for one in advise(file).sets)
    assert "test_day" not in codes(advise(file))


def test_twenty_minutes() -> None:
    whole, short = advise(file_of(MONTH)), advise(file_of(MONTH, limits={"minutes": 12}))
    assert 1 <= len(short.sets) < len(whole.sets)
    assert "short_of_time" in codes(short)


def test_the_assumed_mass_is_said() -> None:
    advice = advise(file_of([], mass_g=None))
    assert "mass_assumed" in codes(advice)
    assert "mass_assumed" not in codes(advise(file_of([])))


IMPOSSIBLE = [
    ("sixty repetitions at 100 kg", session(2, 60, added_g=100_000), "left_out_impossible_set"),
    ("a day in the future", session(-3, 5), "left_out_future"),
    ("a band that is not there", session(2, 5, bands=["violet"]), "left_out_band_unknown"),
    ("out of order", session(90, 5), "left_out_out_of_order"),
]


@pytest.mark.parametrize(("name", "wrong", "code"), IMPOSSIBLE, ids=[case[0] for case in IMPOSSIBLE])
def test_the_impossible_is_named_and_left_out(name: str, wrong: dict[str, Any], code: str) -> None:
    advice, without = advise(file_of([*MONTH, wrong])), advise(file_of(MONTH))
    assert code in codes(advice)
    assert any("left out" in one for one in advice.to_json()["cautions"])
    assert advice.estimate == without.estimate
    assert advice.sets == without.sets


def test_a_file_from_the_newest_to_the_oldest_is_read_backwards() -> None:
    assert advise(file_of(MONTH[::-1])).to_json() == advise(file_of(MONTH)).to_json()


def test_a_first_session_has_no_belt() -> None:
    for sex in (None, "male", "female"):
        assert all(one.added_g == 0 for one in advise(file_of([], sex=sex, kit=MICRO | {"band": BANDS})).sets)


def test_an_impossible_body_mass_is_named() -> None:
    data = file_of(MONTH).to_json()
    data["bodyweights"].append({"day": "2026-10-01", "mass_g": 700_000})
    advice = advise(athlete_file(data))
    assert "left_out_body_mass" in codes(advice)
    assert advice.estimate == advise(file_of(MONTH)).estimate


def test_cautions_at_the_first_belt_and_band_only() -> None:
    def said(advice: Advice) -> set[str]:
        return {one.key for one in advice.cautions}

    free = [session(ago, 12, 12, 12, asked=12, rpe=7.0) for ago in (12, 10, 7, 5, 3)]
    belt = advise(file_of(free))
    assert top_g(belt) > 0
    assert "caution.first_belt" in said(belt)
    assert "caution.first_belt" not in said(advise(file_of(MONTH)))
    rubber = {"kit": {"unit": "kg", "band": BANDS}, "aim": "first_pull_up", "sex": "female"}
    assert "caution.first_band" in said(advise(file_of([], **rubber)))
    used = [session(3, 5, 5, bands=["slate"], asked=5)]
    assert "caution.first_band" not in said(advise(file_of(used, **rubber)))


def test_repetitions_first_where_the_step_is_too_big() -> None:
    """10 kg plates at 80 kg: no step within a twentieth, ever; repetitions rise instead."""
    past = [session(ago, 8, 8, 8, asked=8, rpe=6.0) for ago in (12, 10, 7, 5, 3)]
    advice = advise(file_of(past, kit=COARSE))
    assert top_g(advice) == 0
    assert max(one.reps for one in advice.sets) > 8


def test_pounds_and_kettlebells_are_hung_as_they_are() -> None:
    advice = advise(file_of(MONTH, kit=BELLS, unit="lb"))
    assert all(hung["total_g"] == hung["target_g"] for hung in advice.hang["sets"])


@pytest.mark.parametrize("aim", list(Aim))
def test_every_aim_has_a_session(aim: Aim) -> None:
    advice = advise(file_of(MONTH, aim=aim.value, kit=MICRO | {"band": BANDS}))
    assert advice.sets
    assert all(one.rest_s > 0 for one in advice.sets)


def test_aims_differ_as_they_should() -> None:
    strong = [session(ago, 5, 5, 5, asked=5, added_g=22_500, rpe=8.5) for ago in (12, 10, 7, 5, 3)]
    kit = MICRO | {"band": BANDS}
    by = {aim: advise(file_of(strong, aim=aim.value, kit=kit)) for aim in Aim}
    reps = {aim: max(one.reps for one in advice.sets) for aim, advice in by.items()}
    assert reps[Aim.POWER] <= 4
    assert reps[Aim.STRENGTH] < reps[Aim.HYPERTROPHY] <= reps[Aim.MUSCULAR_ENDURANCE]
    assert by[Aim.MUSCULAR_ENDURANCE].sets[0].rest_s < 90 < by[Aim.STRENGTH].sets[0].rest_s
    assert not any(one.bands for one in by[Aim.POWER].sets)


def test_without_band_or_strength_there_are_hangs_and_rows() -> None:
    weak = [session(ago, 0, added_g=0, failed=True) for ago in (5, 3)]
    advice = advise(file_of(weak, kit=None, aim="first_pull_up", sex="female"))
    assert {one.exercise.value for one in advice.sets} <= {"hang", "scapular_pull", "negative", "row"}
    assert sum(one.exercise.value == "negative" for one in advice.sets) <= 2


def test_the_same_from_a_checkpoint_as_from_the_file() -> None:
    file = file_of(weeks_of(9, 5, 5, 5, 5, added_g=7_500, rpe=8.0))
    profile = profile_of(file.athlete, file.kits, file.bodyweights, file.today)
    half = len(file.sessions) // 2
    checkpoint = estimate(estimate(None, file.sessions[:half], profile), file.sessions[half:], profile)
    recent = tuple(one for one in file.sessions if one.day >= file.today - timedelta(days=70))
    case = Case(file.athlete, file.today, checkpoint, recent, file.kits, file.bodyweights, file.orders)
    assert prescribe(case).to_json() == advise(file).to_json()


def test_old_sessions_change_nothing_but_the_estimate() -> None:
    """What lies before the window acts through the checkpoint alone."""
    file = file_of(MONTH)
    assert all(one.day >= date(2026, 7, 27) for one in file.sessions)
    older = [session(ago, 3, 3, asked=5, failed=True) for ago in range(400, 100, -3)]
    assert not {"reps_missed", "set_failed"} & set(codes(advise(file_of(older + MONTH))))


def test_order_kinds_are_all_tried() -> None:
    tried = {order["kind"] for _, order, _ in ORDERS} | {"test", "extra", "settled"}
    assert tried == {kind.value for kind in OrderKind}


def test_athlete_json_is_an_adult() -> None:
    assert athlete_json()["screening"] == "clear"


def test_importing_the_engine_is_light() -> None:
    code = "import sys, core.advise; print({'numpy', 'babel', 'sqlalchemy', 'matplotlib'} & set(sys.modules))"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "set()"


def test_the_kit_of_the_day_is_hung() -> None:
    """From Wednesday on there are kettlebells only."""
    bells = {"from": "2026-10-07", "unit": "kg", "kettlebell": [{"mass": 8}, {"mass": 12}]}
    kit = [MICRO, bells]
    before, after = advise(file_of(MONTH, kit=kit)), advise(file_of(MONTH, kit=kit, today="2026-10-07"))
    assert any(piece["kind"] == "plate" for hung in before.hang["sets"] for piece in hung["pieces"])
    assert {one.added_g for one in after.sets} <= {0, 8_000, 12_000, 20_000}


def test_sets_of_unknown_load_are_no_step_to_measure_from() -> None:
    unknown = session(2, 5, 5)
    unknown["sets"] = [{"reps": 5, "added_g": None, "bands": None}] * 2
    assert top_g(advise(file_of([*MONTH, unknown]))) == top_g(advise(file_of(MONTH)))
