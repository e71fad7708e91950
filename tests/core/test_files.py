"""The athlete file: in with every mistake at once, out again unchanged."""

import json
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.files import AthleteFile, DatedKit, athlete_file, kit_on
from core.kit import kit_from_json
from core.orders import Order, OrderKind
from core.problems import BadInput
from core.training import (
    Aim,
    Athlete,
    BodyMass,
    Exercise,
    Limits,
    Pain,
    PrescribedSet,
    Screening,
    Session,
    Set,
    Weekday,
)
from core.units import Unit

LEAST = {"athlete": {"name": "Ines"}, "today": "2026-10-05"}
KIT = {"unit": "kg", "plate": [{"mass": 1.25, "count": 2}], "band": [{"label": "amber", "hang": 24.0, "top": 12.0}]}
FULL: dict[str, Any] = {
    "format": 1,
    "athlete": {
        "id": "a7",
        "name": "Ines",
        "unit": "lb",
        "language": "de",
        "time_zone": "Europe/Lisbon",
        "hour": "18:30",
        "born": "1991-05-02",
        "sex": "female",
        "screening": "clear",
        "training_days": ["tue", "fri"],
        "aim": "power",
        "limits": {"sets": 4, "rest_s": 240, "open_sets": 0, "minutes": None},
    },
    "kit": KIT,
    "bodyweights": [{"day": "2026-10-01", "mass_g": 72400}],
    "sessions": [
        {
            "id": "s1",
            "day": "2026-10-02",
            "sets": [{"reps": 5, "added_g": None, "bands": None, "rpe": 8.5, "failed": True}],
            "prescribed": [{"reps": 5, "added_g": 0, "bands": ["amber"], "rest_s": 0, "rpe": None, "amrap": True}],
            "skipped": False,
            "pain": {"place": "elbow", "score": 4, "morning": None},
        }
    ],
    "orders": [{"day": "2026-10-03", "by": "coach", "kind": "set", "sets": 3, "reps": 0, "rpe": 8.0}],
    "today": "2026-10-05",
}


def mended(**changes: Any) -> dict[str, Any]:
    return json.loads(json.dumps(FULL)) | changes


def changed(path: str, value: Any) -> dict[str, Any]:
    """FULL with one value changed: "sessions 0 sets 0 reps"."""
    data = mended()
    *steps, last = [int(step) if step.isdigit() else step for step in path.split()]
    place: Any = data
    for step in steps:
        place = place[step]
    place[last] = value
    return data


def test_the_least_file_has_the_stated_defaults() -> None:
    file = athlete_file(LEAST)
    athlete = file.athlete
    assert (athlete.unit, athlete.language, athlete.time_zone) == (Unit.KG, "en", "UTC")
    assert athlete.screening is Screening.PENDING
    assert athlete.training_days == (Weekday.MON, Weekday.WED, Weekday.FRI)
    assert athlete.limits == Limits()
    assert (file.kits, file.sessions, file.orders, file.bodyweights) == ((), (), (), ())


def test_a_full_file_is_read_as_written() -> None:
    file = athlete_file(FULL)
    assert file.athlete.limits == Limits(4, 240, 0, None)
    assert file.sessions[0].sets[0] == Set(5, None, None, 8.5, True)
    assert file.sessions[0].prescribed[0].rest_s == 0
    assert file.orders[0].reps == 0
    assert file.to_json()["athlete"] == FULL["athlete"]
    assert file.to_json()["sessions"] == FULL["sessions"]
    assert file.to_json()["orders"] == FULL["orders"]


def test_unknown_keys_are_passed_over() -> None:
    data = mended(colour="red")
    data["athlete"]["shoe"] = 42
    data["sessions"][0]["sets"][0]["tempo"] = "31X1"
    assert athlete_file(data) == athlete_file(FULL)


MISTAKES = [
    ("athlete unit", "stone", "athlete, unit"),
    ("athlete language", "tlh", "athlete, language"),
    ("athlete time_zone", "Mars/Base", "athlete, time_zone"),
    ("athlete time_zone", "../../etc/passwd", "athlete, time_zone"),
    ("athlete hour", "25:00", "athlete, hour"),
    ("athlete born", "1991-02-30", "athlete, born"),
    ("athlete screening", "ok", "athlete, screening"),
    ("athlete training_days", ["monday"], "athlete, training_days"),
    ("athlete aim", "biceps", "athlete, aim"),
    ("athlete limits sets", -1, "limits, sets"),
    ("athlete limits sets", True, "limits, sets"),
    ("athlete name", "a\x1b[31m", "athlete, name"),
    ("kit plate 0 mass", -5, "kit"),
    ("bodyweights 0 mass_g", "72", "body weight 1, mass_g"),
    ("bodyweights 0 day", "2026-1-1", "body weight 1, day"),
    ("sessions 0 day", "yesterday", "session 1, day"),
    ("sessions 0 sets 0 reps", 5.5, "set 1, reps"),
    ("sessions 0 sets 0 reps", None, "set 1, reps"),
    ("sessions 0 sets 0 added_g", -1, "set 1, added_g"),
    ("sessions 0 sets 0 rpe", 8.3, "set 1, rpe"),
    ("sessions 0 sets 0 rpe", float("nan"), "set 1, rpe"),
    ("sessions 0 sets 0 bands", "amber", "set 1, bands"),
    ("sessions 0 sets 0 exercise", "muscle_up", "set 1, exercise"),
    ("sessions 0 sets", [{"reps": 1}] * 101, "session 1, sets"),
    ("sessions 0 pain score", 11, "pain, score"),
    ("orders 0 kind", "shout", "order 1, kind"),
    ("orders 0 by", "mum", "order 1, by"),
    ("orders 0", {"day": "2026-10-03", "by": "coach", "kind": "aim"}, "order 1"),
    ("sessions", {}, "sessions"),
    ("today", "2026-13-01", "today"),
    ("format", 2, "format"),
    ("athlete", [], "athlete"),
    ("athlete", None, "athlete"),
]


@pytest.mark.parametrize(("path", "value", "where"), MISTAKES)
def test_each_mistake_is_named_with_its_place(path: str, value: Any, where: str) -> None:
    with pytest.raises(BadInput) as bad:
        athlete_file(changed(path, value), "ines.json")
    (problem,) = bad.value.problems
    assert where in problem.where
    assert problem.where.startswith("ines.json")
    assert problem.what
    assert problem.mend


def test_all_mistakes_come_at_once() -> None:
    data = changed("athlete unit", "stone")
    data["sessions"][0]["sets"][0]["reps"] = -1
    data["orders"][0]["kind"] = "shout"
    data["kit"]["plate"][0]["mass"] = "x"
    data["sessions"].append(data["sessions"][0] | {"sets": []})
    with pytest.raises(BadInput) as bad:
        athlete_file(data)
    assert len(bad.value.problems) == 4 + 1  # the doubled id is the fifth once its session can be read
    assert len({problem.where for problem in bad.value.problems}) == 5


def test_very_many_mistakes_are_counted() -> None:
    with pytest.raises(BadInput) as bad:
        athlete_file(mended(bodyweights=[{}] * 500))
    assert len(bad.value.problems) == 51
    assert "950 more" in bad.value.problems[-1].what


def test_kits_change_with_the_days() -> None:
    later = {"from": "2026-10-04", "unit": "kg", "kettlebell": [{"mass": 8}]}
    file = athlete_file(mended(kit=[KIT, later]))
    assert [dated.since for dated in file.kits] == [None, date(2026, 10, 4)]
    assert kit_on(file.kits, date(2026, 10, 3)) == kit_from_json(KIT)
    assert kit_on(file.kits, date(2026, 10, 4)) == kit_from_json({key: later[key] for key in ("unit", "kettlebell")})
    assert kit_on(file.kits[1:], date(2026, 10, 3)) is None
    assert athlete_file(file.to_json()) == file


days = st.dates(date(2020, 1, 1), date(2027, 1, 1))
ratings = st.none() | st.integers(2, 20).map(lambda half: half / 2)
labels = st.lists(st.sampled_from(("amber", "slate", "ümber")), max_size=2).map(lambda some: tuple(sorted(some)))
masses = st.integers(0, 200_000)
exercises = st.sampled_from(Exercise)
maybe_count = st.none() | st.integers(0, 50)
plain_text = st.text(st.characters(min_codepoint=32, exclude_categories=("Cs", "Cc")), max_size=20)

done_sets = st.builds(
    Set, st.integers(0, 60), st.none() | masses, st.none() | labels, ratings, st.booleans(), exercises, maybe_count
)
rests = st.integers(0, 600)
planned_sets = st.builds(
    PrescribedSet, st.integers(0, 60), masses, labels, rests, ratings, st.booleans(), exercises, maybe_count
)
scores = st.none() | st.integers(0, 10)
pains = st.none() | st.builds(Pain, st.none() | plain_text, scores, scores)
athletes = st.builds(
    Athlete,
    id=plain_text,
    name=plain_text.filter(bool),
    unit=st.sampled_from(Unit),
    language=st.sampled_from(("en", "de", "es", "fr")),
    time_zone=st.sampled_from(("UTC", "Europe/Lisbon", "America/New_York")),
    born=st.none() | days,
    sex=st.sampled_from((None, "female", "male")),
    screening=st.sampled_from(Screening),
    training_days=st.lists(st.sampled_from(Weekday), unique=True).map(tuple),
    aim=st.sampled_from(Aim),
    limits=st.builds(Limits, maybe_count, maybe_count, maybe_count, maybe_count),
    exercises=st.lists(exercises, unique=True, min_size=1).map(tuple),
)
orders = st.builds(
    Order,
    day=days,
    by=st.sampled_from(("coach", "athlete", "engine")),
    kind=st.sampled_from(OrderKind),
    until=st.none() | days,
    added_g=masses,
    bands=st.none() | labels,
    sets=maybe_count,
    reps=maybe_count,
    rpe=ratings,
    aim=st.sampled_from(Aim),
    text=plain_text,
)


@st.composite
def athlete_files(draw: st.DrawFn) -> AthleteFile:
    count = draw(st.integers(0, 4))
    sessions = tuple(
        Session(
            f"s{place}",
            draw(days),
            tuple(draw(st.lists(done_sets, max_size=3))),
            tuple(draw(st.lists(planned_sets, max_size=3))),
            draw(st.booleans()),
            draw(pains),
        )
        for place in range(count)
    )
    kits = draw(st.sampled_from(((), (DatedKit(None, kit_from_json(KIT)),))))
    weighings = tuple(draw(st.lists(st.builds(BodyMass, days, masses), max_size=3)))
    some_orders = tuple(draw(st.lists(orders, max_size=3)))
    return AthleteFile(draw(athletes), draw(days), kits, weighings, sessions, some_orders)


@given(athlete_files())
@settings(max_examples=60, deadline=None)
def test_out_and_in_again_is_the_same(file: AthleteFile) -> None:
    text = json.dumps(file.to_json())
    again = athlete_file(json.loads(text))
    assert again == file
    assert json.dumps(again.to_json()) == text


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)
PATHS = sorted({path for path, _, _ in MISTAKES} | {"kit", "kit band 0", "kit band", "orders", "bodyweights 0"})


@given(st.sampled_from(PATHS), json_values)
@settings(max_examples=200, deadline=None)
def test_whatever_stands_there_is_read_or_named(path: str, value: Any) -> None:
    named = ()
    try:
        athlete_file(changed(path, value))
    except BadInput as bad:
        named = bad.problems
    assert all(problem.where and problem.what and problem.mend for problem in named)


@pytest.mark.parametrize("data", [None, [], 5, "text", {}, {"athlete": {}}, {"today": "2026-10-05"}])
def test_no_file_at_all(data: object) -> None:
    with pytest.raises(BadInput):
        athlete_file(data)


def test_today_may_be_given_from_outside() -> None:
    assert athlete_file({"athlete": {"name": "A"}}, today=date(2026, 1, 1)).today == date(2026, 1, 1)
    assert athlete_file(LEAST, today=date(2026, 1, 1)).today == date(2026, 10, 5)
