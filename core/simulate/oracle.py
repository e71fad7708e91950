"""The oracle sees the truth of the day and picks what trains most while about one set in 25 fails."""

from dataclasses import replace
from typing import Any

from core.simulate.athletes import Body, Nature, share_of
from core.simulate.kits import rungs
from core.simulate.rules import planned

Json = dict[str, Any]
MAY_FAIL = 1.3  # spreads of a set's noise in hand; whole repetitions leave more, so that about 4 % fail (measured)
MOST_REPS = 12
APART = 0.01


def foresight(file: Json, nature: Nature, body: Body) -> Json:
    """The best session of equal loads; repetitions may fall from set to set as the truth allows."""
    limits = file["athlete"]["limits"]
    best: tuple[float, list[Json]] = (-1.0, [])
    for single in _loads(file["kit"], nature, body, limits["rest_s"]):
        for most in range(1, MOST_REPS + 1):
            found = _tried(nature, body, single, most, limits["sets"])
            if found[0] > best[0]:
                best = found
    return {"sets": best[1]}


def _loads(kit: Json, nature: Nature, body: Body, rest_s: int) -> list[Json]:
    """One set at each load worth a thought, at least a hundredth of the 1RM apart."""
    found: list[Json] = []
    lowest = 0.6
    for rung in rungs(kit):
        single = planned(rung, [1], rest_s, False)[0]
        share = share_of(nature, body, single)
        if lowest < share < 1.0:
            found.append(single)
            lowest = share + APART
    return found


def _tried(nature: Nature, body: Body, single: Json, most: int, count: int) -> tuple[float, list[Json]]:
    """Training of a session of sets of `most` repetitions or as many as are safe."""
    worth, chosen = 0.0, []
    share = share_of(nature, body, single)
    for turn in range(count):
        possible = nature.law.possible(share, body.tank)
        safe = int(possible - MAY_FAIL * nature.noise * (0.7 + 0.05 * max(possible, 0.0)))
        reps = min(most, safe)
        if reps < 1:
            break
        worth += nature.law.training(share, reps, possible) * 0.75**turn
        chosen.append(single | {"reps": reps})
        spent = nature.law.spend(body.tank, reps, possible)
        body = replace(body, tank=nature.law.rest(spent, single["rest_s"]))
    return worth, chosen
