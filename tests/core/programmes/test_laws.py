"""The laws over all rules, and proof that each law can be broken."""

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings

from core.advise import advise
from core.files import AthleteFile
from core.programmes import RULES, Plan, Situation
from core.reasons import because
from core.training import Aim, PrescribedSet
from tests.core.programmes.histories import BOTH, KITS, file_of, files, session
from tests.core.programmes.laws import LAWS


@given(files())
@settings(max_examples=150, deadline=None)
def test_every_law_holds(file: AthleteFile) -> None:
    advice = advise(file)
    assert [broken for law in LAWS if (broken := law(file, advice))] == []


@given(files())
@settings(max_examples=20, deadline=None)
def test_the_same_file_gives_the_same_answer(file: AthleteFile) -> None:
    assert json.dumps(advise(file).to_json()) == json.dumps(advise(file).to_json())


@pytest.mark.parametrize("aim", [aim.value for aim in Aim])
@pytest.mark.parametrize("kit", sorted(KITS))
def test_nobody_is_hurried_however_strong(kit: str, aim: str) -> None:
    """Twelve easy repetitions tempt to a large step: the cap holds in every kit and for every aim."""
    past = [session(ago, 12, 12, 12, asked=12, rpe=6.5) for ago in (9, 7, 5, 3)]
    file = file_of(past, kit=KITS[kit], aim=aim)
    advice = advise(file)
    assert [broken for law in LAWS if (broken := law(file, advice))] == []


def test_every_aim_has_a_rule() -> None:
    assert set(RULES) == set(Aim)


def plan_of(*sets: PrescribedSet) -> Callable[[Situation], Plan]:
    return lambda situation: Plan(sets, (because("same_again", percent=90),))


HEAVY = [session(3, 5, 5, 5, asked=5), session(1, 5, 5, 4, asked=5, failed=True)]
PLAIN = [session(3, 5, 5, 5, asked=5)]
ON_BAND = [session(1, 5, 5, 2, asked=5, bands=["amber"], failed=True)]
CHEATS = [
    ("always the same", plan_of(PrescribedSet(5, 40_000)), PLAIN, {}, "step_in_cap"),
    ("always five sets", plan_of(*(PrescribedSet(5),) * 5), PLAIN, {"limits": {"sets": 4}}, "limits_kept"),
    ("always long rests", plan_of(PrescribedSet(5, rest_s=300)), PLAIN, {"limits": {"rest_s": 90}}, "limits_kept"),
    ("what nobody can hang", plan_of(PrescribedSet(5, 777)), PLAIN, {}, "loadable"),
    ("bands out of nowhere", plan_of(PrescribedSet(5, 0, ("violet",))), PLAIN, {}, "loadable"),
    ("up after a miss", plan_of(PrescribedSet(5, 2_500)), HEAVY, {}, "no_rise_when_held"),
    ("off the band after a miss", plan_of(PrescribedSet(5)), ON_BAND, {"kit": BOTH}, "no_rise_on_a_band"),
    ("no repetitions", plan_of(PrescribedSet(0)), PLAIN, {}, "in_contract"),
]


@pytest.mark.parametrize(("name", "rule", "past", "changes", "law"), CHEATS, ids=[case[0] for case in CHEATS])
def test_a_rule_that_ignores_its_input_breaks_a_law(
    name: str, rule: Callable[[Situation], Plan], past: list[dict[str, Any]], changes: dict[str, Any], law: str
) -> None:
    file = file_of(past, **changes)
    advice = advise(file, RULES | {Aim.STRENGTH: rule})
    assert law in [one.__name__ for one in LAWS if one(file, advice)]


def test_reasons_and_safety_can_be_broken_too() -> None:
    file = file_of(PLAIN)
    advice = advise(file)
    assert "reasoned" in _broken(file, replace(advice, reasons=()))
    assert "reasoned" in _broken(file, replace(advice, cautions=()))
    pending = file_of(PLAIN, screening="pending")
    assert "safe" in _broken(pending, replace(advise(pending), sets=advice.sets, expected=advice.expected))
    young = file_of(PLAIN, born=None)
    opened = tuple(replace(one, amrap=True) for one in advice.sets)
    assert "safe" in _broken(young, replace(advise(young), sets=opened))


def test_the_law_on_pain_can_be_broken() -> None:
    sore = session(3, 5, 5, 5, asked=5, added_g=7_500, pain={"place": "elbow", "score": 4})
    file = file_of([sore])
    advice = advise(file)
    assert "no_more_in_pain" not in _broken(file, advice)
    assert "no_more_in_pain" in _broken(file, replace(advice, sets=(PrescribedSet(9), PrescribedSet(8))))
    assert "no_more_in_pain" in _broken(file, replace(advice, sets=(PrescribedSet(1),) * 3))


def _broken(file: AthleteFile, advice: Any) -> list[str]:
    found = []
    for law in LAWS:
        try:
            if law(file, advice):
                found.append(law.__name__)
        except ValueError:  # lists of unequal length
            found.append("in_contract")
    return found
