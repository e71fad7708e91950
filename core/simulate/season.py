"""One athlete, one policy, so many weeks: three training days a week, some missed, perhaps a lay-off."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from random import Random
from typing import Any

from core.simulate.athletes import (
    Body,
    Nature,
    after_session,
    overnight,
    perform,
    rested_g,
    share_of,
    stimulus,
    system_g,
)

Json = dict[str, Any]
Policy = Callable[[Json, Nature, Body], Json]

FIRST_DAY = date(2026, 1, 5)  # a Monday
TRAINING_WEEKDAYS = (0, 2, 4)
LIMITS: Json = {"sets": 4, "rest_s": 180, "open_sets": 1, "minutes": None}


@dataclass(frozen=True, slots=True)
class Trained:
    """One session of a season as the report needs it; masses in grams. `estimate`: (median, low, high)."""

    day: int
    true_g: float
    mass_g: float
    estimate: tuple[int, int, int] | None
    asked: tuple[Json, ...]
    done: tuple[Json, ...]
    heaviest_g: float
    missed: int
    stimulus: float  # of a fully trained session


@dataclass(frozen=True, slots=True)
class Season:
    """A whole season: the athlete, what happened, and the true gain in ln strength."""

    nature: Nature
    trained: tuple[Trained, ...]
    gain: float
    able_day: int | None
    free_day: int | None


def blind(advise: Callable[[Json], Json]) -> Policy:
    """A policy that sees the file alone."""
    return lambda file, _nature, _body: advise(file)


def season(nature: Nature, kit: Json, aim: str, weeks: int, policy: Policy, rng: Random) -> Season:
    """Plays a season; the same arguments and seed give the same season."""
    body, trained = Body(mass_g=float(nature.mass_g)), []
    file = _new_file(nature, kit, aim)
    lay_off = _lay_off(weeks, rng)
    able_day = free_day = None
    for day in range(weeks * 7):
        file["today"] = _iso(day)
        if day % 7 == 0 and (day == 0 or rng.random() < 0.8):
            file["bodyweights"].append({"day": _iso(day), "mass_g": round(body.mass_g + rng.gauss(0, 300))})
        if able_day is None and able(nature, body):
            able_day = day
        present = rng.random() < nature.attends and day not in lay_off
        if day % 7 in TRAINING_WEEKDAYS and present:
            one, body = _session(file, nature, body, policy, rng)
            trained.append(replace(one, day=day))
            if free_day is None and _free(one):
                free_day = day
        body = overnight(nature, body, rng)
    return Season(nature, tuple(trained), body.gain, able_day, free_day)


def able(nature: Nature, body: Body) -> bool:
    """Whether a free pull-up would come today, were it an average day: with the wear of training, without luck."""
    return rested_g(nature, body) * math.exp(-body.wear) >= body.mass_g


def _session(file: Json, nature: Nature, body: Body, policy: Policy, rng: Random) -> tuple[Trained, Body]:
    """One training day; the session is added to the file."""
    answer = policy(file, nature, body)
    asked: list[Json] = [one for one in answer["sets"] if one.get("exercise", "pull_up") == "pull_up"]
    start, done, work, missed = body, [], [], 0
    for turn, one in enumerate(asked):
        share = share_of(nature, body, one)
        possible = nature.law.possible(share, body.tank)
        result = perform(nature, body, one, turn == len(asked) - 1, rng)
        body, missed = result.body, missed + result.failed
        done.append(result.shown)
        work.append((share, result.shown["reps"], possible))
    file["sessions"].append(
        {"id": file["today"], "day": file["today"], "sets": done, "prescribed": asked, "skipped": False, "pain": None}
    )
    said = answer.get("estimate")
    heaviest = max((system_g(nature, start, one["added_g"], tuple(one["bands"])) for one in asked), default=0.0)
    band = None if said is None else (said["one_rm_g"], said["low_g"], said["high_g"])
    trained = Trained(
        0,
        rested_g(nature, start),
        start.mass_g,
        band,
        tuple(asked),
        tuple(done),
        heaviest,
        missed,
        stimulus(nature, work),
    )
    return trained, after_session(nature, body, work) if work else body


def _free(one: Trained) -> bool:
    return any(done["reps"] >= 1 and not done["bands"] for done in one.done)


def _lay_off(weeks: int, rng: Random) -> range:
    """For three athletes in ten, one to four weeks away after the fifth week."""
    start, length = rng.randrange(35, max(weeks * 7, 36)), rng.randrange(7, 29)
    return range(start, start + length) if rng.random() < 0.3 else range(0)


def _new_file(nature: Nature, kit: Json, aim: str) -> Json:
    return {
        "format": 1,
        "athlete": {
            "id": "v1",
            "name": "Virtual",
            "unit": "kg",
            "language": "en",
            "time_zone": "UTC",
            "hour": "07:00",
            "born": "1990-01-01",
            "sex": "female" if nature.female else "male",
            "screening": "clear",
            "training_days": ["mon", "wed", "fri"],
            "aim": aim,
            "limits": dict(LIMITS),
        },
        "kit": kit,
        "bodyweights": [],
        "sessions": [],
        "orders": [],
        "today": FIRST_DAY.isoformat(),
    }


def _iso(day: int) -> str:
    return (FIRST_DAY + timedelta(days=day)).isoformat()
