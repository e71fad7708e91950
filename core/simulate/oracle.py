"""The oracle sees the truth and picks what trains most while about one set in 25 fails.

It knows strength, laws, wear and true pulls, not the dice: neither how good the day is nor how a set will
scatter. The clairvoyant also sees how good the day is: nobody could, and it bounds what is possible.
"""

import math
from dataclasses import replace
from typing import Any

from core.simulate.athletes import Body, Nature, share_of
from core.simulate.kits import rungs
from core.simulate.rules import planned

Json = dict[str, Any]
# Spreads kept in hand; whole repetitions leave more, so that about 4 % of the sets fail (measured).
IN_HAND = 1.5
MOST_REPS = 12
APART = 0.01


def oracle(file: Json, nature: Nature, body: Body) -> Json:
    """The best session of equal loads; repetitions may fall from set to set as the truth allows."""
    return _best(file, nature, replace(body, form=0.0), nature.form)


def clairvoyant(file: Json, nature: Nature, body: Body) -> Json:
    """The same by who also knows how good the day is."""
    return _best(file, nature, body, 0.0)


def _best(file: Json, nature: Nature, body: Body, form: float) -> Json:
    limits = file["athlete"]["limits"]
    best: tuple[float, list[Json]] = (-1.0, [])
    for single in _loads(file["kit"], nature, body, limits["rest_s"]):
        for most in range(1, MOST_REPS + 1):
            found = _tried(nature, body, single, (most, limits["sets"]), form)
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


def _tried(nature: Nature, body: Body, single: Json, size: tuple[int, int], form: float) -> tuple[float, list[Json]]:
    """Training of a session of sets of at most `size[0]` repetitions, as many as are safe, and its sets."""
    most, count = size
    worth, chosen = 0.0, []
    share = share_of(nature, body, single)
    for turn in range(count):
        possible = nature.law.possible(share, body.tank)
        reps = min(most, int(possible - IN_HAND * _scatter(nature, body, share, form)))
        if reps < 1:
            break
        worth += nature.law.training(share, reps, possible) * 0.75**turn
        chosen.append(single | {"reps": reps})
        spent = nature.law.spend(body.tank, reps, possible)
        body = replace(body, tank=nature.law.rest(spent, single["rest_s"]))
    return worth, chosen


def _scatter(nature: Nature, body: Body, share: float, form: float) -> float:
    """One spread of the repetitions, from the set itself and from the form of the day."""
    better, worse = (nature.law.possible(share * math.exp(side * form), body.tank) for side in (-1, 1))
    possible = nature.law.possible(share, body.tank)
    return math.hypot(nature.noise * (0.7 + 0.05 * max(possible, 0.0)), (better - worse) / 2)
