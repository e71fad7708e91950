"""An invented club: three athletes to be, two more for the coach's week, as athlete files."""

from datetime import date, timedelta

from core.training import Json

CLUB = "Harbour Steps"
COACH = "Okko"
START = date(2026, 10, 5)  # a Monday
ZONE = "Europe/Lisbon"

PLATES: Json = {
    "unit": "kg",
    "belt": {"max_pieces": 5, "max_load": 60},
    "anchor": {"max_load": 200},
    "plate": [
        {"mass": 0.25, "count": 2},
        {"mass": 0.5, "count": 2},
        {"mass": 1.25, "count": 2},
        {"mass": 2.5, "count": 2},
        {"mass": 5, "count": 2},
        {"mass": 10, "count": 1},
    ],
    "kettlebell": [{"mass": 8, "count": 1}, {"mass": 12, "count": 1}],
}

THREE_SETS: Json = {"sets": 3, "rest_s": 240}

BANDS: Json = {
    "unit": "kg",
    "belt": {"max_pieces": 4},
    "plate": [
        {"mass": 0.5, "count": 2},
        {"mass": 1.25, "count": 2},
        {"mass": 2.5, "count": 2},
        {"mass": 5, "count": 1},
    ],
    "band": [
        {"label": "amber", "hang": 38, "top": 20},
        {"label": "slate", "hang": 24, "top": 12},
        {"label": "moss", "hang": 14, "top": 7},
    ],
}

POUNDS: Json = {
    "unit": "lb",
    "belt": {"max_pieces": 4, "max_load": 120},
    "plate": [{"mass": 1.25, "count": 2}, {"mass": 2.5, "count": 2}, {"mass": 5, "count": 2}, {"mass": 10, "count": 2}],
    "kettlebell": [{"mass": 18, "count": 1}, {"mass": 26, "count": 1}],
}


def _done(reps: tuple[int, ...], added_g: int, bands: tuple[str, ...], rpe: float | None) -> list[Json]:
    last = len(reps) - 1
    return [
        {"reps": one, "added_g": added_g, "bands": list(bands), "rpe": rpe if at == last else None, "failed": False}
        for at, one in enumerate(reps)
    ]


def _planned(times: int, reps: int, added_g: int, bands: tuple[str, ...]) -> list[Json]:
    one = {"reps": reps, "added_g": added_g, "bands": list(bands), "rest_s": 180, "rpe": 8.0, "amrap": False}
    return [one] * times


def _history(rows: list[tuple[int, tuple[int, ...], int, tuple[str, ...], float | None]], asked: int) -> list[Json]:
    """Sessions so many days before the start: what was done, asked for the same number each time."""
    return [
        {
            "id": (START - timedelta(days=before)).isoformat(),
            "day": (START - timedelta(days=before)).isoformat(),
            "sets": _done(reps, added_g, bands, rpe),
            "prescribed": _planned(len(reps), asked, added_g, bands),
            "skipped": False,
            "pain": None,
        }
        for before, reps, added_g, bands, rpe in rows
    ]


def _file(athlete: Json, kit: Json, mass_g: int, sessions: list[Json]) -> Json:
    shared = {"language": "en", "time_zone": ZONE, "hour": "07:00", "screening": "clear"}
    return {
        "format": 1,
        "athlete": {"training_days": ["mon", "wed", "fri"], "limits": {"sets": 4, "rest_s": 240}} | shared | athlete,
        "kit": kit | {"from": (START - timedelta(days=60)).isoformat()},
        "bodyweights": [{"day": (START - timedelta(days=4)).isoformat(), "mass_g": mass_g}],
        "sessions": sessions,
        "orders": [],
        "today": START.isoformat(),
    }


def athlete_files() -> list[Json]:
    """The club's five athletes."""
    belt = _history([(12, (6, 6, 5), 0, (), 7), (10, (6, 6, 6), 0, (), 6.5), (7, (6, 6, 6), 0, (), 6),
                     (5, (7, 7, 6), 0, (), 7), (3, (7, 7, 7), 0, (), 6)], 6)  # fmt: skip
    band = _history([(12, (5, 5, 4), 0, ("amber",), 8.5), (7, (5, 5, 5), 0, ("amber",), 8),
                     (5, (6, 5, 5), 2500, ("amber",), 8), (3, (5, 5, 5), 2500, ("amber",), 8.5)], 5)  # fmt: skip
    pound = _history([(12, (8, 8, 7), 4536, (), 8), (7, (8, 8, 8), 4536, (), 8.5), (3, (8, 8, 8), 5670, (), 9)], 8)
    sore = _history([(7, (6, 6, 6), 0, (), 8), (3, (6, 6), 0, (), None)], 6)
    sore[-1]["pain"] = {"place": "elbow", "score": 4, "morning": 3}
    gone = _history([(21, (4, 4, 3), 0, (), 9), (19, (4, 4, 4), 0, (), 8.5)], 4)
    facts = {"born": "1991-05-02", "sex": "female", "unit": "kg"}
    return [
        _file(facts | {"id": "mirela", "name": "Mirela", "limits": THREE_SETS}, PLATES, 64_000, belt),
        _file({"id": "tobin", "name": "Tobin", "born": "1984-11-20", "sex": "male", "unit": "kg",
               "aim": "first_pull_up"}, BANDS, 88_000, band),
        _file({"id": "dale", "name": "Dale", "born": "1979-02-11", "sex": "male", "unit": "lb",
               "aim": "hypertrophy"}, POUNDS, 81_647, pound),
        _file(facts | {"id": "suvi", "name": "Suvi", "aim": "endurance"}, PLATES, 58_500, sore),
        _file(facts | {"id": "jarek", "name": "Jarek", "sex": "male", "aim": "strength"}, PLATES, 79_000, gone),
    ]  # fmt: skip
