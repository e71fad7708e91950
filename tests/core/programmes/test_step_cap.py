"""No session is over a twentieth heavier than the last, bands and belt mixed, in system mass at the pulls believed.

The one exception is a kit without any load in reach: then repetitions come first, and a jump after them.
"""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.advice import Advice
from core.advise import advise
from core.files import AthleteFile, kit_on
from core.kit import Kit
from core.programmes import RULES, Plan, Situation
from core.programmes.setting import profile_of, rungs_of
from core.reasons import because
from core.strength import belief, estimate
from core.training import Aim, PrescribedSet
from tests.core.programmes.histories import BANDS, BOTH, RUBBER, file_of, session

STEP = 0.05
SAME = 0.005  # of system mass: no step at all
DAYS = (17, 14, 12, 10, 7, 5, 3)
DISCS = {
    "unit": "kg",
    "belt": {"max_pieces": 4},
    "plate": [{"mass": mass, "count": 2} for mass in (1.25, 2.5, 5)],
    "band": BANDS,
}


def over_the_step(file: AthleteFile, advice: Advice) -> str | None:
    """The set that is too heavy by too much, where the kit had a load in between."""
    profile = profile_of(file.athlete, file.kits, file.bodyweights, file.today)
    known = belief(estimate(None, file.sessions, profile), advice.day, profile)
    rungs = rungs_of(kit_on(file.kits, advice.day) or Kit(), known.mass_g, known)
    systems = {(one.bands, one.added_g): one.system_g for one in rungs}
    before = max(systems[one.bands or (), one.added_g or 0] for one in file.sessions[-1].sets)
    now = max((systems[one.bands, one.added_g] for one in advice.sets if one.exercise.value == "pull_up"), default=0)
    between = any(before * (1 + SAME) < one.system_g <= before * (1 + STEP) for one in rungs)
    return f"from {before} to {now} g" if between and now > before * (1 + STEP) else None


@st.composite
def seasons(draw: st.DrawFn) -> AthleteFile:
    """One to seven sessions on one band with a belt load of the kit, light enough to tempt to a large step."""
    kit, added = draw(st.sampled_from(((DISCS, 1_250), (DISCS, 5_000), (DISCS, 0), (BOTH, 500), (BOTH, 6_000))))
    bands = draw(st.sampled_from(([], ["jade"], ["amber"], ["slate"])))
    reps, count = draw(st.integers(3, 15)), draw(st.integers(1, 7))
    sets = [max(1, reps - draw(st.integers(0, 2))) for _ in range(draw(st.integers(2, 4)))]
    more = {"added_g": added, "bands": bands, "rpe": draw(st.sampled_from((6.0, 7.0, 8.5)))}
    past = [session(ago, *sets, asked=max(1, reps - 2), **more) for ago in DAYS[-count:]]
    aim = draw(st.sampled_from([aim.value for aim in Aim]))
    return file_of(past, kit=kit, aim=aim, mass_g=draw(st.sampled_from((60_000, 80_000, 100_000))))


@given(seasons())
@settings(max_examples=120, deadline=None)
def test_no_step_over_a_twentieth(file: AthleteFile) -> None:
    assert over_the_step(file, advise(file)) is None


TEMPTING = [
    ("endurance", "slate", 2_500, 60_000, 12),
    ("endurance", "amber", 1_250, 80_000, 15),
    ("endurance", "jade", 1_250, 60_000, 13),
    ("power", "slate", 1_250, 80_000, 8),
    ("muscular_endurance", "slate", 2_500, 80_000, 15),
    ("strength", "amber", 2_500, 80_000, 12),
    ("first_pull_up", "jade", 5_000, 80_000, 15),
]


@pytest.mark.parametrize(("aim", "band", "added_g", "mass_g", "reps"), TEMPTING)
def test_steps_between_bands_stay_small(aim: str, band: str, added_g: int, mass_g: int, reps: int) -> None:
    past = [session(ago, *(reps,) * 3, asked=reps, added_g=added_g, bands=[band], rpe=6.0) for ago in DAYS]
    file = file_of(past, kit=DISCS, aim=aim, mass_g=mass_g)
    advice = advise(file)
    assert advice.sets
    assert over_the_step(file, advice) is None
    assert "change_over_jump" not in [one.code for one in advice.reasons]


def test_without_a_load_in_reach_repetitions_lead_to_a_jump() -> None:
    past = [session(ago, 9, 9, 9, asked=9, bands=["amber"], rpe=7.0) for ago in DAYS]
    advice = advise(file_of(past, kit=RUBBER, aim="endurance"))
    assert advice.sets[0].bands == ("jade",)
    assert "change_over_jump" in [one.code for one in advice.reasons]


def test_the_law_can_be_broken() -> None:
    def straight_to_one_s_own_weight(situation: Situation) -> Plan:
        return Plan((PrescribedSet(3),), (because("step_up", percent=90),))

    past: list[dict[str, Any]] = [session(ago, 5, 5, asked=5, bands=["slate"]) for ago in DAYS]
    file = file_of(past, kit=DISCS)
    assert over_the_step(file, advise(file, RULES | {Aim.STRENGTH: straight_to_one_s_own_weight})) is not None
