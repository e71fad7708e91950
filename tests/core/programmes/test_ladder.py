"""The way from band to band, session by session, as tables."""

from typing import Any

import pytest

from core.advice import Advice
from core.advise import advise
from tests.core.programmes.histories import BOTH, RUBBER, file_of, session

DAYS = (17, 14, 12, 10, 7, 5, 3)


def on_bands(*loads: tuple[str, int], last: tuple[int, ...] = (5, 5, 5), **more: Any) -> Advice:
    """The advice after one session for each (band, added_g), fives at RPE 8; `last`: repetitions of the last."""
    days = DAYS[-len(loads) :]
    past = []
    for ago, (band, added_g) in zip(days, loads, strict=True):
        reps = last if ago == days[-1] else (5, 5, 5)
        past.append(session(ago, *reps, asked=5, added_g=added_g, bands=[band], rpe=8.0))
    kit = more.pop("kit", BOTH)
    return advise(file_of(past, kit=kit, aim="first_pull_up", **more))


def codes(advice: Advice) -> set[str]:
    return {one.code for one in advice.reasons}


def base(advice: Advice) -> tuple[tuple[str, ...], int]:
    return advice.sets[-1].bands, advice.sets[-1].added_g


def test_between_bands_the_belt_makes_the_steps() -> None:
    advice = on_bands(*[("amber", 4_000)] * 6)
    bands, added_g = base(advice)
    assert bands == ("amber",)
    assert 4_000 <= added_g <= 4_000 + 0.05 * 66_000


def test_the_change_is_announced_the_session_before() -> None:
    """Amber takes 18 kg in the mean, jade 9: at 9 kg on the belt the belt has caught up."""
    advice = on_bands(*[("amber", 8_500)] * 6)
    assert base(advice)[0] == ("amber",)
    assert "change_over_next" in codes(advice)
    assert "change_over_next" not in codes(on_bands(*[("amber", 2_500)] * 6))


def test_then_the_lighter_band_without_the_belt_and_a_repetition_less() -> None:
    advice = on_bands(*[("amber", 9_000)] * 6)
    assert base(advice) == (("jade",), 0)
    assert "change_over" in codes(advice)
    assert max(one.reps for one in advice.sets[1:] if not one.amrap) <= 4
    assert "kit.change_over" in {one.key for one in advice.cautions}


def test_no_change_while_something_is_held() -> None:
    order = {"day": "2026-10-01", "by": "coach", "kind": "hold"}
    assert base(on_bands(*[("amber", 9_000)] * 6, orders=[order]))[0] == ("amber",)
    missed = on_bands(*[("amber", 9_000)] * 6, last=(5, 4, 2))
    assert base(missed)[0] == ("amber",)


def test_a_short_first_session_leads_back() -> None:
    advice = on_bands(*[("amber", 9_000)] * 5, ("jade", 0), last=(3, 2, 1))
    assert "change_back" in codes(advice)
    bands, added_g = base(advice)
    assert bands == ("amber",)
    assert added_g <= 9_000


def test_nobody_goes_back_and_forth() -> None:
    """Once returned, the same belt is not enough: it takes a little more to try again."""
    returned = [("amber", 9_000)] * 3 + [("jade", 0)] + [("amber", 9_000)] * 2
    assert base(on_bands(*returned))[0] == ("amber",)
    stronger = [("amber", 9_000)] * 3 + [("jade", 0)] + [("amber", 11_000)] * 2
    assert base(on_bands(*stronger)) == (("jade",), 0)


@pytest.mark.parametrize(("reps", "jumps"), [((9, 9, 9), True), ((9, 9, 6), False), ((5, 5, 5), False)])
def test_without_a_belt_repetitions_come_before_the_next_band(reps: tuple[int, ...], jumps: bool) -> None:
    past = [session(ago, *reps, asked=min(reps), bands=["amber"], rpe=7.0) for ago in DAYS]
    advice = advise(file_of(past, kit=RUBBER, aim="first_pull_up"))
    assert (base(advice)[0] == ("jade",)) is jumps
    assert ("change_over_jump" in codes(advice)) is jumps


def test_what_is_too_heavy_leads_to_more_help() -> None:
    past = [session(ago, 1, 0, asked=3, bands=["jade"], failed=True) for ago in DAYS]
    advice = advise(file_of(past, kit=BOTH, aim="first_pull_up"))
    assert base(advice)[0] in {("amber",), ("slate",), ("amber", "slate"), ("jade", "slate")}


def test_near_the_free_one_a_heavy_single_leads() -> None:
    past = [session(ago, 4, 4, 4, asked=4, bands=["jade"], rpe=8.5) for ago in DAYS]
    advice = advise(file_of(past, kit=BOTH, aim="first_pull_up"))
    first = advice.sets[0]
    assert first.reps == 1
    assert {"heavy_single", "free_single"} & codes(advice)


def test_singles_without_a_band_as_soon_as_they_are_likely() -> None:
    past = [session(ago, 6, 6, 6, asked=6, bands=["jade"], rpe=8.0) for ago in DAYS]
    past[-1]["sets"].insert(0, {"reps": 1, "added_g": 6_250, "bands": ["jade"], "rpe": 8.0})
    past[-1]["prescribed"].insert(0, {"reps": 1, "added_g": 6_250, "bands": ["jade"], "rest_s": 180})
    advice = advise(file_of(past, kit=BOTH, aim="first_pull_up"))
    assert (advice.sets[0].reps, advice.sets[0].bands, advice.sets[0].added_g) == (1, (), 0)
    assert "free_single" in codes(advice)


def test_no_single_in_pain() -> None:
    past = [session(ago, 6, 6, 6, asked=6, bands=["jade"], rpe=8.0) for ago in DAYS]
    past[-1]["pain"] = {"place": "elbow", "score": 4, "morning": 1}
    advice = advise(file_of(past, kit=BOTH, aim="first_pull_up"))
    assert not {"heavy_single", "free_single"} & codes(advice)
