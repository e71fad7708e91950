"""The estimate as a fold: parts equal the whole, evidence moves it the right way, nothing crashes it."""

import json
from datetime import date, timedelta

import pytest

from core.strength import BandReading, Checkpoint, Profile, belief, estimate, faults
from core.training import BodyMass, Exercise, PrescribedSet, Session, Set

START = date(2026, 3, 2)
PROFILE = Profile((BodyMass(START, 80_000),), "male", None, (BandReading("amber", 18_000, 0.08),))
PLAN = (PrescribedSet(5, 7_500),) * 3


def sessions(*records: tuple[Set, ...], plan: tuple[PrescribedSet, ...] = PLAN, gap: int = 2) -> list[Session]:
    return [
        Session(f"s{turn}", START + timedelta(days=gap * turn), record, plan) for turn, record in enumerate(records)
    ]


def fives(last: Set) -> tuple[Set, ...]:
    return (Set(5, 7_500), Set(5, 7_500), last)


LONG = sessions(
    *([fives(Set(5, 7_500, rpe=8.0)), fives(Set(4, 7_500, failed=True))] * 6),
    (Set(8, 0, ("amber",)), Set(4, 0, exercise=Exercise.CHIN_UP)),
)


@pytest.mark.parametrize("cut", [0, 1, 5, 12, 13])
def test_a_history_in_two_parts_through_json_equals_the_whole(cut: int) -> None:
    whole = estimate(None, LONG, PROFILE)
    first = estimate(None, LONG[:cut], PROFILE)
    kept = Checkpoint.from_json(json.loads(json.dumps(first.to_json())))
    assert kept == first
    assert estimate(kept, LONG[cut:], PROFILE) == whole


def test_a_checkpoint_stays_small_and_knows_its_engine() -> None:
    assert len(json.dumps(estimate(None, LONG, PROFILE).to_json())) < 2_500


def one_rm(*records: tuple[Set, ...]) -> tuple[int, int, int]:
    done = sessions(*records)
    return belief(estimate(None, done, PROFILE), done[-1].day + timedelta(days=2), PROFILE).one_rm()


def test_a_harder_rating_means_less_strength_and_failure_less_still() -> None:
    easy, hard = one_rm(fives(Set(5, 7_500, rpe=6.0))), one_rm(fives(Set(5, 7_500, rpe=10.0)))
    failed = one_rm(fives(Set(4, 7_500, failed=True)))
    assert failed[0] < hard[0] < easy[0]


def test_a_completed_set_only_raises_the_floor() -> None:
    nothing = belief(None, START, PROFILE).one_rm()
    done = one_rm(fives(Set(5, 7_500)))
    assert done[1] > nothing[1]
    assert done[2] > 0.97 * nothing[2]


def test_a_failed_set_reads_within_a_repetition() -> None:
    median, low, high = one_rm(*[(Set(5, 7_500, failed=True),)] * 4)
    assert low < 87_500 * (1 + 0.0352 * 4.5) < high
    assert (high - low) / median < 0.14


def test_a_lay_off_widens_and_lowers() -> None:
    after = estimate(None, LONG, PROFILE)
    last = LONG[-1].day
    soon = belief(after, last + timedelta(days=3), PROFILE).one_rm()
    late = belief(after, last + timedelta(days=70), PROFILE).one_rm()
    assert late[0] < soon[0]
    assert late[2] / late[1] > 1.02 * soon[2] / soon[1]


def test_chin_ups_fake_no_progress_and_dips_stand_alone() -> None:
    base = LONG[:12]
    chins = [
        Session(
            f"c{n}",
            base[-1].day + timedelta(days=2 + n),
            (Set(9, 7_500, rpe=10.0, exercise=Exercise.CHIN_UP),),
        )
        for n in range(4)
    ]
    day = chins[-1].day + timedelta(days=2)
    before = belief(estimate(None, base, PROFILE), day, PROFILE).one_rm()
    mixed = belief(estimate(None, base + chins, PROFILE), day, PROFILE)
    assert mixed.one_rm()[0] < 1.035 * before[0]
    assert mixed.one_rm(Exercise.CHIN_UP)[0] > mixed.one_rm()[0]
    dips = [Session("d", day, (Set(10, 20_000, exercise=Exercise.DIP),))]
    assert estimate(None, [*base, *dips], PROFILE) == estimate(None, base, PROFILE)


def test_expected_repetitions_fall_with_load_and_tire_with_little_rest() -> None:
    now = belief(estimate(None, LONG, PROFILE), LONG[-1].day + timedelta(days=2), PROFILE)
    short, long = ([PrescribedSet(5, 7_500, rest_s=rest)] * 4 for rest in (60, 300))
    medians = [median for median, _, _ in now.expected_reps(short)]
    assert medians == sorted(medians, reverse=True)
    assert now.expected_reps(short)[3][0] < now.expected_reps(long)[3][0]
    assert now.chance(short) < now.chance(long) < now.chance([PrescribedSet(5, 2_500, rest_s=300)] * 4)
    assert now.chance(long) <= min(now.set_chances(long))


def test_sets_done_today_tire_and_teach() -> None:
    now = belief(estimate(None, LONG, PROFILE), LONG[-1].day + timedelta(days=2), PROFILE)
    failed = now.during([Set(3, 7_500, failed=True)], PLAN)
    assert failed.one_rm()[0] < now.one_rm()[0]
    assert failed.expected_reps(PLAN)[0][0] < now.expected_reps(PLAN)[0][0]


@pytest.mark.parametrize(
    ("session", "code"),
    [
        (Session("x", START - timedelta(days=9), (Set(5),)), "out_of_order"),
        (Session("x", date(2099, 1, 1), (Set(5),)), "future"),
        (Session("x", LONG[-1].day, (Set(60, 100_000),)), "impossible_set"),
        (Session("x", LONG[-1].day, (Set(5, 0, ("plum",)),)), "band_unknown"),
        (Session("x", LONG[-1].day, (Set(-1, 0),)), "impossible_set"),
    ],
)
def test_impossible_items_are_named_and_left_out(session: Session, code: str) -> None:
    today = date(2026, 12, 1)
    history = [*LONG, session]
    assert [one.code for one in faults(history, PROFILE, today)] == [code]
    left = belief(estimate(None, history, PROFILE, today=today), today, PROFILE).one_rm()
    assert left == belief(estimate(None, LONG, PROFILE), today, PROFILE).one_rm()


def test_an_impossible_body_mass_is_named_and_ignored() -> None:
    odd = Profile((*PROFILE.masses, BodyMass(START, 700_000)), "male", None, PROFILE.bands)
    assert [one.code for one in faults(LONG, odd)] == ["body_mass"]
    assert estimate(None, LONG, odd) == estimate(None, LONG, PROFILE)


def test_the_sound_history_has_no_faults() -> None:
    assert faults(LONG, PROFILE, date(2026, 12, 1)) == ()


def test_bands_are_learnt_against_the_free_pull_up() -> None:
    """Ten free to failure, then only as many with a band as one that hardly pulls would give."""
    weak = sessions(*[(Set(8, 0, failed=True),), (Set(9, 0, ("amber",), failed=True),)] * 6, plan=())
    pull = belief(estimate(None, weak, PROFILE), weak[-1].day, PROFILE).pulls()[0]
    assert pull.median_g < 0.93 * pull.stated_g
    assert pull.low_g < pull.median_g < pull.high_g
