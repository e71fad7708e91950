"""Virtual athletes: who they are, how they are today, what they do with a prescribed set, what a night does."""

import math
from dataclasses import dataclass, replace
from random import Random
from typing import Any, Literal

from core.simulate.laws import FRESH, Bent, Drained, Law, Straight, Tank

Json = dict[str, Any]
Family = Literal["bent", "drained", "straight"]
TUNED: tuple[Family, ...] = ("bent", "drained")  # the engine was tuned on these
HELD_OUT: tuple[Family, ...] = ("straight",)  # and not on this

KEPT_DAYS = 21
LATER_SET = 0.75  # worth of a set against the one before it


@dataclass(frozen=True, slots=True)
class Nature:
    """What does not change over a season. Fractions of the 1RM are logarithms; `pulls` are true mean pulls."""

    family: Family
    law: Law
    female: bool
    mass_g: int
    one_rm_g: int
    pace: float  # gain of a fully trained session at the start
    ceiling: float  # gain at which it ends
    wear: float  # what a hard set costs the next days
    wear_days: float
    form: float  # spread of good and bad days
    noise: float  # spread of a set, in repetitions
    bias: float  # too few in reserve, by so many repetitions
    rates: Literal["never", "last", "each"]
    stops_at: float  # reserve felt at the end of an open set
    owns_up: float  # how often a failed set is called failed
    attends: float
    pulls: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Body:
    """An athlete on one day; `mass_g` as a perfect scale would have it."""

    mass_g: float
    gain: float = 0.0
    wear: float = 0.0
    form: float = 0.0
    idle: int = 0
    tank: Tank = FRESH


def rested_g(nature: Nature, body: Body) -> float:
    """The true system 1RM without fatigue, in grams: what an estimate is held against."""
    return nature.one_rm_g * math.exp(body.gain)


def system_g(nature: Nature, body: Body, added_g: int, bands: tuple[str, ...]) -> float:
    """What really has to be lifted."""
    return max(body.mass_g + added_g - sum(dict(nature.pulls)[label] for label in bands), 5_000.0)


def share_of(nature: Nature, body: Body, planned: Json) -> float:
    """The load over today's fresh 1RM."""
    today = rested_g(nature, body) * math.exp(body.form - body.wear)
    return system_g(nature, body, planned["added_g"], tuple(planned["bands"])) / today


@dataclass(frozen=True, slots=True)
class Done:
    """A set as reported, whether a repetition really failed, and the body after it and its rest."""

    shown: Json
    failed: bool
    body: Body


def perform(nature: Nature, body: Body, planned: Json, last: bool, rng: Random) -> Done:
    """A set as an athlete does it; fewer repetitions than asked only where no more are there."""
    share = share_of(nature, body, planned)
    possible = nature.law.possible(share, body.tank)
    real = possible + rng.gauss(0.0, nature.noise * (0.7 + 0.05 * max(possible, 0.0)))
    most = max(math.floor(real), 0)
    if planned["amrap"]:
        done, failed = _open_set(nature, planned, most, rng)
    else:
        done, failed = min(planned["reps"], most), most < planned["reps"]
    rates = nature.rates == "each" or (nature.rates == "last" and last)
    shown: Json = {
        "reps": done,
        "added_g": planned["added_g"],
        "bands": list(planned["bands"]),
        "rpe": _rating(nature, most - done, rng) if rates and not failed else None,
        "failed": failed and rng.random() < nature.owns_up,
    }
    tank = nature.law.rest(nature.law.spend(body.tank, done, max(real, 1.0)), planned["rest_s"])
    return Done(shown, failed, replace(body, tank=tank))


def _felt(nature: Nature, left: int, rng: Random) -> float:
    """Repetitions in reserve as felt: too few, and the vaguer the further from failure."""
    under = nature.bias if nature.family != "drained" else nature.bias * left / 3.0
    return left - min(under, float(left)) + rng.gauss(0.0, 0.7 + 0.17 * left)


def _open_set(nature: Nature, planned: Json, most: int, rng: Random) -> tuple[int, bool]:
    """Repetitions until the reserve feels as small as asked; one more may be tried and fail."""
    effort = planned.get("rpe")
    goal = nature.stops_at if effort is None else max(10.0 - effort, 0.0)
    slip = rng.gauss(0.0, 0.7)
    for done in range(1, most + 1):
        left = most - done
        under = nature.bias if nature.family != "drained" else nature.bias * left / 3.0
        if left - min(under, float(left)) + slip * (0.7 + 0.2 * left) <= goal:
            return done, False
    return most, True


def _rating(nature: Nature, left: int, rng: Random) -> float:
    return 10.0 - min(max(round(_felt(nature, left, rng)), 0), 6)


def stimulus(nature: Nature, done: list[tuple[float, int, float]]) -> float:
    """What a session trains, as a part of four perfect sets; `done` is (share, repetitions, possible) of each set."""
    each = (nature.law.training(*one) * LATER_SET**turn for turn, one in enumerate(done))
    return sum(each) / sum(LATER_SET**turn for turn in range(4))


def after_session(nature: Nature, before: Body, done: list[tuple[float, int, float]]) -> Body:
    """Gain and wear of a session."""
    wear = sum(nature.wear * min(reps / max(possible, 1.0), 1.0) ** 2 for _, reps, possible in done)
    room = max(1.0 - before.gain / nature.ceiling, 0.0)
    gain = before.gain + nature.pace * stimulus(nature, done) * room
    return replace(before, gain=gain, wear=before.wear + wear, tank=FRESH, idle=0)


def overnight(nature: Nature, body: Body, rng: Random) -> Body:
    """The next morning: wear fades, form is drawn anew, weight wanders, long idleness costs."""
    lost = 0.0012 if body.idle >= KEPT_DAYS else 0.0
    form = rng.gauss(0.0, nature.form)
    if nature.family == "drained":
        form = 0.5 * body.form + form * math.sqrt(0.75)
    pull_back = 0.02 * (nature.mass_g - body.mass_g)
    return replace(
        body,
        wear=body.wear * math.exp(-1.0 / nature.wear_days),
        form=form,
        idle=body.idle + 1,
        gain=body.gain - lost,
        mass_g=body.mass_g + pull_back + rng.gauss(0.0, 150.0),
    )


def drawn(family: Family, ratios: tuple[float, float], bands: dict[str, float], rng: Random) -> Nature:
    """A new athlete whose 1RM over body mass lies in `ratios`; `bands` are the pulls as the kit states them."""
    female = rng.random() < 0.4
    mass_g = round(rng.gauss(64_000, 8_000) if female else rng.gauss(79_000, 10_000))
    return Nature(
        family=family,
        law=_law(family, female, rng),
        female=female,
        mass_g=min(max(mass_g, 48_000), 115_000),
        one_rm_g=round(min(max(mass_g, 48_000), 115_000) * rng.uniform(*ratios)),
        pace=rng.uniform(0.0012, 0.0045),
        ceiling=rng.uniform(0.08, 0.30),
        wear=rng.uniform(0.003, 0.010),
        wear_days=rng.uniform(1.0, 2.5) if family == "bent" else rng.uniform(2.0, 5.0),
        form=rng.uniform(0.012, 0.028),
        noise=rng.uniform(0.35, 0.75),
        bias=min(max(rng.gauss(0.95, 0.5), -0.3), 2.2),
        rates=rng.choice(("never", "last", "last", "each")),
        stops_at=rng.choice((0.5, 0.5, 1.0)),
        owns_up=rng.choice((1.0, 1.0, 0.7)),
        attends=rng.uniform(0.82, 1.0),
        pulls=tuple((label, pull * _off(rng)) for label, pull in bands.items()),
    )


def _off(rng: Random) -> float:
    """Bands of one grade differ in tension by 8-19 % (McMaster et al. 2010): the true pull over the stated."""
    return 1.0 + rng.choice((-1, 1)) * rng.uniform(0.0, 0.19)


def _law(family: Family, female: bool, rng: Random) -> Law:
    at_80 = min(max(rng.gauss(10.5, 2.2) if female else rng.gauss(8.1, 1.9), 5.0), 15.0)
    tiring = math.exp(rng.gauss(0.0, 0.3))
    if family == "bent":
        floor = rng.uniform(0.38, 0.50)
        bend = -math.log((0.8 - floor) / (1 - floor)) / (at_80 - 1)
        return Bent(floor, bend, tiring, rng.uniform(70, 130))
    if family == "straight":
        return Straight(0.2 / (at_80 - 1), tiring, rng.uniform(30, 60))
    return Drained(-math.log(0.8) / (at_80 - 1), tiring, rng.uniform(60, 110))
