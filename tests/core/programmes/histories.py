"""Athlete files of every kind for the laws: kits, limits, aims, histories with misses and pain, orders."""

from datetime import date, timedelta
from typing import Any

from hypothesis import strategies as st

from core.files import AthleteFile, athlete_file
from core.orders import OrderKind
from core.training import Aim

TODAY = date(2026, 10, 5)  # a Monday
MICRO = {
    "unit": "kg",
    "belt": {"max_pieces": 6},
    "plate": [{"mass": mass, "count": 2} for mass in (0.5, 1.25, 2.5, 5, 10, 20)],
}
COARSE = {"unit": "kg", "plate": [{"mass": 10, "count": 3}]}
BELLS = {"unit": "lb", "belt": {"max_load": 100}, "kettlebell": [{"mass": 18}, {"mass": 35}], "vest": [{"mass": 20}]}
BANDS = [
    {"label": "slate", "hang": 38.0, "top": 22.0},
    {"label": "amber", "hang": 24.0, "top": 12.0},
    {"label": "jade", "hang": 12.0, "top": 6.0},
]
RUBBER = {"unit": "kg", "band": BANDS}
BOTH = MICRO | {"band": BANDS}
KITS: dict[str, dict[str, Any] | None] = {
    "none": None,
    "micro": MICRO,
    "coarse": COARSE,
    "bells": BELLS,
    "rubber": RUBBER,
    "both": BOTH,
}


def athlete_json(**changes: Any) -> dict[str, Any]:
    """A grown, cleared athlete of 80 kg who trains on Mondays, Wednesdays and Fridays."""
    plain = {"id": "a1", "name": "Ines", "born": "1991-05-02", "screening": "clear", "aim": "strength"}
    return plain | changes


def file_of(sessions: list[dict[str, Any]], **changes: Any) -> AthleteFile:
    """An athlete file; `changes` of the athlete's keys, `kit`, `mass_g`, `orders`, `today` besides."""
    others = {key: changes.pop(key) for key in ("kit", "mass_g", "orders", "today") if key in changes}
    mass_g = others.get("mass_g", 80_000)
    return athlete_file(
        {
            "athlete": athlete_json(**changes),
            "kit": others.get("kit", MICRO),
            "bodyweights": [] if mass_g is None else [{"day": "2026-01-01", "mass_g": mass_g}],
            "sessions": sessions,
            "orders": others.get("orders", []),
            "today": others.get("today", TODAY.isoformat()),
        }
    )


def session(days_ago: int, *reps: int, asked: int | None = None, added_g: int = 0, **more: Any) -> dict[str, Any]:
    """One session `days_ago` with a set for each of `reps`; `bands`, `rpe`, `failed`, `pain` besides."""
    bands, rpe, failed = more.pop("bands", []), more.pop("rpe", None), more.pop("failed", False)
    one = {"added_g": added_g, "bands": bands, "rpe": rpe}
    wish = [] if asked is None else [{"reps": asked, "added_g": added_g, "bands": bands, "rest_s": 180}] * len(reps)
    day = TODAY - timedelta(days=days_ago)
    sets = [one | {"reps": count, "failed": failed and place == len(reps) - 1} for place, count in enumerate(reps)]
    return {"id": f"s{days_ago}", "day": day.isoformat(), "sets": sets, "prescribed": wish} | more


loads = st.sampled_from((0, 2_500, 5_000, 10_000, 20_000))
scores = st.sampled_from((None, None, None, 0, 2, 4, 6))
sores = st.builds(lambda score, morning: {"place": "elbow", "score": score, "morning": morning}, scores, scores)


@st.composite
def _past(draw: st.DrawFn, kit: str) -> list[dict[str, Any]]:
    """Up to ten sessions, every second or third day up to yesterday or longer ago."""
    count, gap, latest = draw(st.integers(0, 10)), draw(st.integers(1, 3)), draw(st.sampled_from((1, 2, 3, 20, 40)))
    label = draw(st.sampled_from(("slate", "amber", "jade"))) if kit in ("rubber", "both") else None
    added = draw(loads) if kit in ("micro", "both", "bells") else 0
    reps, asked = draw(st.integers(1, 12)), draw(st.none() | st.integers(1, 12))
    found = []
    for place in range(count, 0, -1):
        more = {
            "bands": [] if label is None or added else [label],
            "rpe": draw(st.sampled_from((None, 7.0, 8.5, 10.0))),
            "failed": draw(st.sampled_from((False, False, True))),
            "pain": draw(st.none() | st.none() | sores),
        }
        done = [max(0, reps - draw(st.integers(0, 2))) for _ in range(draw(st.integers(1, 4)))]
        found.append(session(latest + gap * (place - 1), *done, asked=asked, added_g=added, **more))
    return found


bounds = st.fixed_dictionaries(
    {
        "sets": st.sampled_from((None, 0, 1, 3, 4)),
        "rest_s": st.sampled_from((None, 0, 60, 240)),
        "open_sets": st.sampled_from((None, 0, 1)),
        "minutes": st.sampled_from((None, None, 0, 5, 20)),
    }
)
orders = st.lists(
    st.fixed_dictionaries(
        {
            "day": st.sampled_from(("2026-09-28", "2026-10-05", "2026-10-12")),
            "by": st.sampled_from(("coach", "athlete")),
            "kind": st.sampled_from([kind.value for kind in OrderKind]),
            "added_g": st.sampled_from((0, 5_000)),
            "sets": st.sampled_from((2, 3)),
            "reps": st.sampled_from((3, 6)),
            "aim": st.sampled_from([aim.value for aim in Aim]),
        }
    ),
    max_size=2,
)


@st.composite
def files(draw: st.DrawFn, with_orders: bool = True) -> AthleteFile:
    """An athlete file of any kind that the laws should survive."""
    kit = draw(st.sampled_from(sorted(KITS)))
    return file_of(
        draw(_past(kit)),
        kit=KITS[kit],
        mass_g=draw(st.sampled_from((None, 60_000, 80_000, 100_000))),
        aim=draw(st.sampled_from([aim.value for aim in Aim])),
        sex=draw(st.sampled_from((None, "female", "male"))),
        born=draw(st.sampled_from((None, "1991-05-02", "1991-05-02", "2013-01-01"))),
        limits=draw(bounds),
        orders=draw(orders) if with_orders else [],
        training_days=draw(st.sampled_from((["mon", "wed", "fri"], ["mon", "tue"], [], ["sun"]))),
    )
