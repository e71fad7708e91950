"""Two rules as careful people follow them by hand, reading only the athlete file, within its limits."""

from typing import Any

from core.simulate.kits import Rung, rungs

Json = dict[str, Any]
TARGET = 5
OVER = 2
LOW, HIGH = 4, 7


def planned(rung: Rung, reps: list[int], rest_s: int, open_last: bool, effort: float | None = None) -> list[Json]:
    """Sets at one load."""
    return [
        {
            "reps": count,
            "added_g": rung.added_g,
            "bands": list(rung.bands),
            "rest_s": rest_s,
            "rpe": effort,
            "amrap": open_last and turn == len(reps) - 1,
        }
        for turn, count in enumerate(reps)
    ]


def two_for_two(file: Json) -> Json:
    """Fives, the last set open: two over the target in two sessions running, and the load goes up a step."""
    ladder, limits, past = _read(file)
    if len(past) == 0:
        return {"sets": _first_test(ladder, limits)}
    if len(past) == 1:
        rung = _by_epley(ladder, past[0], file)
    else:
        rung = _used(past[-1], ladder)
        same = [one for one in past[-2:] if _used(one, ladder) == rung and len(one["prescribed"]) > 1]
        if len(same) == 2 and all(one["sets"][-1]["reps"] >= TARGET + OVER for one in same):
            rung = _next(ladder, rung, file)
        elif len(same) == 2 and all(_missed(one) for one in same):
            rung = _below(ladder, rung)
    return {"sets": planned(rung, [TARGET] * limits["sets"], limits["rest_s"], limits["open_sets"] > 0)}


def double_progression(file: Json) -> Json:
    """Sets of 4, then 5, up to 7, a repetition more after each clean session; then a step and 4 again."""
    ladder, limits, past = _read(file)
    if len(past) == 0:
        return {"sets": _first_test(ladder, limits)}
    if len(past) == 1:
        rung, reps = _by_epley(ladder, past[0], file), LOW
    else:
        rung, reps = _used(past[-1], ladder), past[-1]["prescribed"][-1]["reps"]
        rating = past[-1]["sets"][-1]["rpe"]
        if _missed(past[-1]):
            rung, reps = (_below(ladder, rung), LOW) if reps <= LOW else (rung, reps - 1)
        elif rating is None or rating <= 9.0:
            rung, reps = (rung, reps + 1) if reps < HIGH else (_next(ladder, rung, file), LOW)
    return {"sets": planned(rung, [reps] * limits["sets"], limits["rest_s"], False)}


def _read(file: Json) -> tuple[tuple[Rung, ...], Json, list[Json]]:
    past = [one for one in file["sessions"] if one["sets"]]
    return rungs(file["kit"]), file["athlete"]["limits"], past


def _first_test(ladder: tuple[Rung, ...], limits: Json) -> list[Json]:
    """One open set with the strongest band, without one at bodyweight."""
    lightest = min(ladder, key=lambda rung: (rung.change_g, rung.added_g))
    return planned(lightest, [1], limits["rest_s"], True, 9.0)


def _by_epley(ladder: tuple[Rung, ...], test: Json, file: Json) -> Rung:
    """The highest rung under what the test set says of eight repetitions."""
    mass_g = file["bodyweights"][-1]["mass_g"]
    tested = mass_g + _used(test, ladder).change_g
    eight = tested * (1 + min(test["sets"][-1]["reps"], 12) / 30) / (1 + 8 / 30)
    fitting = [rung for rung in ladder if mass_g + rung.change_g <= eight]
    return max(fitting) if fitting else ladder[0]


def _used(session: Json, ladder: tuple[Rung, ...]) -> Rung:
    last = session["prescribed"][-1]
    return next(one for one in ladder if (one.added_g, list(one.bands)) == (last["added_g"], last["bands"]))


def _missed(session: Json) -> bool:
    return any(done["reps"] < asked["reps"] for done, asked in zip(session["sets"], session["prescribed"], strict=True))


def _next(ladder: tuple[Rung, ...], rung: Rung, file: Json) -> Rung:
    """About 2.5 % of system mass up, else the smallest step there is, if it is within a tenth."""
    now = file["bodyweights"][-1]["mass_g"] + rung.change_g
    up = [one for one in ladder if 0.015 * now <= one.change_g - rung.change_g <= 0.10 * now]
    return min(up) if up else rung


def _below(ladder: tuple[Rung, ...], rung: Rung) -> Rung:
    down = [one for one in ladder if one.change_g <= rung.change_g - 1_000]
    return max(down) if down else rung
