"""Laws over any history: nothing crashes, parts equal the whole, intervals are in order, more is harder."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from random import Random

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from core.strength import BandReading, Checkpoint, Profile, belief, estimate, faults, outdated
from core.strength.filling import filled
from core.training import BodyMass, Exercise, PrescribedSet, Session, Set

START = date(2026, 1, 5)
PROFILE = Profile((BodyMass(START, 72_000),), None, None, (BandReading("amber", 20_000, 0.1),))
GRIPS = (Exercise.PULL_UP, Exercise.CHIN_UP, Exercise.WIDE_GRIP_PULL_UP, Exercise.DIP, Exercise.HANG)

done_sets = st.builds(
    Set,
    reps=st.integers(0, 40),
    added_g=st.one_of(st.none(), st.integers(0, 60_000)),
    bands=st.sampled_from([None, (), ("amber",), ("amber", "plum")]),
    rpe=st.one_of(st.none(), st.integers(2, 20).map(lambda half: half / 2)),
    failed=st.booleans(),
    exercise=st.sampled_from(GRIPS),
)
asked_sets = st.builds(
    PrescribedSet,
    reps=st.integers(1, 20),
    rest_s=st.integers(0, 600),
    amrap=st.booleans(),
    rpe=st.sampled_from([None, 8.0]),
)


@st.composite
def histories(draw: st.DrawFn) -> list[Session]:
    day, found = START, []
    for turn in range(draw(st.integers(0, 7))):
        day += timedelta(days=draw(st.integers(0, 60)))
        sets, asked = draw(st.lists(done_sets, max_size=5)), draw(st.lists(asked_sets, max_size=5))
        found.append(Session(str(turn), day, tuple(sets), tuple(asked)))
    return found


@settings(max_examples=80, deadline=None)
@given(histories(), st.integers(0, 7), st.sampled_from([Exercise.PULL_UP, Exercise.DIP]))
def test_parts_equal_the_whole_and_every_number_has_its_interval(
    history: list[Session], cut: int, exercise: Exercise
) -> None:
    whole = estimate(None, history, PROFILE, exercise)
    first = Checkpoint.from_json(estimate(None, history[:cut], PROFILE, exercise).to_json())
    assert estimate(first, history[cut:], PROFILE) == whole
    faults(history, PROFILE)
    day = history[-1].day + timedelta(days=3) if history else START
    now = belief(whole, day, PROFILE)
    for median, low, high in (now.one_rm(), now.curve(), now.rating_bias(), now.trend()):
        assert low < median < high
    plan = [PrescribedSet(5, 0, (), 120)] * 3
    for median, low, high in now.expected_reps(plan):
        assert 0 <= low <= median <= high
    assert 0.0 <= now.chance(plan) <= min(now.set_chances(plan)) + 1e-9 <= 1.0 + 2e-9


@settings(max_examples=40, deadline=None)
@given(histories(), st.integers(1, 12), st.integers(0, 30_000))
def test_more_repetitions_more_load_and_less_rest_are_harder(history: list[Session], reps: int, added_g: int) -> None:
    day = history[-1].day + timedelta(days=3) if history else START
    now = belief(estimate(None, history, PROFILE), day, PROFILE)
    plan = [PrescribedSet(reps, added_g, (), 180)] * 3
    heavier, longer, hurried = (
        [replace(one, added_g=added_g + 5_000) for one in plan],
        [replace(one, reps=reps + 1) for one in plan],
        [replace(one, rest_s=60) for one in plan],
    )
    for harder in (heavier, longer, hurried):
        assert now.chance(harder) <= now.chance(plan) + 1e-4  # a very light set scatters more than a light one


@settings(max_examples=40, deadline=None)
@given(histories(), st.floats(0.5, 0.97))
def test_a_session_filled_to_a_chance_keeps_it_and_asks_no_less_for_less(history: list[Session], chance: float) -> None:
    day = history[-1].day + timedelta(days=3) if history else START
    now = belief(estimate(None, history, PROFILE), day, PROFILE)
    plan = [PrescribedSet(1, 0, (), 180)] * 3
    found = filled(now, plan, chance, (12, 12, 12))
    chances = now.set_chances([replace(one, reps=reps) for one, reps in zip(plan, found.reps, strict=True)])
    assert all(each >= chance - 1e-6 or reps == 1 for each, reps in zip(chances, found.reps, strict=True))
    assert found.reps[0] <= filled(now, plan, chance / 2, (12, 12, 12)).reps[0]


def test_wild_histories_of_bands_lay_offs_and_surprises_keep_a_sound_covariance() -> None:
    """A surprise may leave more doubt than there was; no mixture of surprises may leave a negative variance."""
    rng = Random(3)
    bands = (BandReading("amber", 45_000, 0.05), BandReading("slate", 60_000, 0.2))
    profile = Profile((BodyMass(START, 52_000),), None, None, bands)
    for _ in range(150):
        day, history = START, []
        for turn in range(rng.randint(1, 10)):
            day += timedelta(days=rng.choice((0, 0, 1, 2, 3, 400)))
            history.append(Session(str(turn), day, tuple(wild_set(rng) for _ in range(rng.randint(1, 6)))))
        checkpoint = estimate(None, history, profile)
        assert np.linalg.eigvalsh(checkpoint.state().cov).min() > -1e-9
        now = belief(checkpoint, day + timedelta(days=rng.choice((0, 5, 3_000))), profile)
        assert 0.0 <= now.chance([PrescribedSet(5, 0, ("amber",))] * 3) <= 1.0 + 1e-9


def wild_set(rng: Random) -> Set:
    return Set(
        rng.choice((0, 0, 1, 5, 12, 40, 100)),
        rng.choice((0, 5_000, 100_000)),
        rng.choice(((), ("amber",), ("slate",), ("amber", "slate"))),
        rng.choice((None, 1.0, 5.0, 10.0)),
        rng.random() < 0.3,
        rng.choice((Exercise.PULL_UP, Exercise.CHIN_UP)),
    )


def test_a_correction_replayed_from_the_checkpoint_before_it_equals_starting_over() -> None:
    plan = (PrescribedSet(5, 7_500),) * 3
    history = [
        Session(str(n), START + timedelta(days=2 * n), (Set(5, 7_500), Set(5, 7_500), Set(5, 7_500, rpe=8.5)), plan)
        for n in range(10)
    ]
    corrected = replace(history[6], sets=(Set(5, 7_500), Set(4, 7_500, failed=True)))
    over = [*history[:6], corrected, *history[7:]]
    before = estimate(None, history[:6], PROFILE)
    assert estimate(before, over[6:], PROFILE) == estimate(None, over, PROFILE)
    assert estimate(None, over, PROFILE) != estimate(None, history, PROFILE)


def test_body_mass_carries_the_estimate() -> None:
    """The same repetitions at bodyweight by a heavier body are a larger system 1RM in the same proportion, and a
    first weighing after months of assuming shifts the scale at once."""
    free = [Session(str(n), START + timedelta(days=3 * n), (Set(8, 0, failed=True),)) for n in range(5)]
    day = free[-1].day
    light, heavy = (Profile((BodyMass(START, mass_g),), "male") for mass_g in (60_000, 90_000))
    found = [belief(estimate(None, free, one), day, one).one_rm()[0] for one in (light, heavy)]
    assert abs(found[1] / found[0] - 1.5) < 0.02
    unknown = Profile((), "male")
    assumed = belief(estimate(None, free, unknown), day, unknown)
    weighed = belief(estimate(None, free, unknown), day, heavy)
    assert assumed.mass_assumed
    assert not weighed.mass_assumed
    assert abs(weighed.one_rm()[0] / found[1] - 1) < 0.02
    low, high = assumed.one_rm()[1:]
    assert low < found[1] < high


def test_later_weighings_leave_what_was_appended_before_them() -> None:
    record = (Set(5, 5_000), Set(5, 5_000, rpe=8.5))
    history = [Session(str(n), START + timedelta(days=4 * n), record) for n in range(8)]
    first = Profile((BodyMass(START, 72_000),), "male")
    later = replace(first, masses=(*first.masses, BodyMass(history[4].day, 76_000)))
    appended = estimate(None, history[:4], first)
    assert not outdated(appended, later)
    assert estimate(appended, history[4:], later) == estimate(None, history, later)
    assert estimate(None, history, later) != estimate(None, history, first)


def test_a_checkpoint_from_before_the_first_weighing_or_of_another_engine_is_outdated() -> None:
    unknown = Profile((), "male")
    made = estimate(None, [Session("s", START, (Set(5, 0),))], unknown)
    assert not outdated(made, unknown)
    assert outdated(made, Profile((BodyMass(START, 90_000),), "male"))
    assert outdated(replace(made, engine="0"), unknown)


def test_waves_of_ratings_teach_the_bias() -> None:
    """Somebody who calls every last set of five a 7 and then fails at six says far too many in reserve."""
    plan = (PrescribedSet(5, 10_000), PrescribedSet(8, 10_000))
    record = (Set(5, 10_000, rpe=6.0), Set(5, 10_000, failed=True))
    history = [Session(str(n), START + timedelta(days=3 * n), record, plan) for n in range(8)]
    learnt = belief(estimate(None, history, PROFILE), history[-1].day, PROFILE).rating_bias()
    usual = belief(None, START, PROFILE).rating_bias()
    assert learnt[0] < usual[0] - 0.5


def test_intervals_narrow_with_evidence() -> None:
    plan = (PrescribedSet(5, 10_000),) * 2
    record = (Set(5, 10_000), Set(4, 10_000, failed=True))
    history = [Session(str(n), START + timedelta(days=3 * n), record, plan) for n in range(6)]
    widths = []
    for count in (0, 1, 6):
        _, low, high = belief(estimate(None, history[:count], PROFILE), START + timedelta(days=20), PROFILE).one_rm()
        widths.append(high / low)
    assert all(later < earlier for earlier, later in pairwise(widths))
