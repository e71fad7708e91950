"""How virtual bodies really work: two families of equations, neither of them the engine's.

A law says how many repetitions a share of the day's 1RM allows, what a set spends, what a rest gives back and
how much a set trains. Tune on one family, check on the other.
"""

import math
from dataclasses import dataclass
from typing import Protocol

MOST_REPS = 45.0


@dataclass(frozen=True, slots=True)
class Tank:
    """What today's sets have taken: a quick and a slow part, 0 when fresh; units are the law's own."""

    quick: float = 0.0
    slow: float = 0.0


FRESH = Tank()


class Law(Protocol):
    """One way for muscles to behave; `share` is the load over the day's fresh 1RM."""

    def possible(self, share: float, tank: Tank) -> float: ...

    def spend(self, tank: Tank, reps: int, possible: float) -> Tank: ...

    def rest(self, tank: Tank, seconds: float) -> Tank: ...

    def training(self, share: float, reps: int, possible: float) -> float: ...


@dataclass(frozen=True, slots=True)
class Bent:
    """An exponential load-repetition curve with a floor; tiredness is lost force that comes back in two phases."""

    floor: float
    bend: float
    tiring: float
    quick_s: float

    def possible(self, share: float, tank: Tank) -> float:
        now = share * math.exp(tank.quick + tank.slow)
        above = (now - self.floor) / (1.0 - self.floor)
        return MOST_REPS if above <= 0 else min(1.0 - math.log(above) / self.bend, MOST_REPS)

    def spend(self, tank: Tank, reps: int, possible: float) -> Tank:
        near = min(reps / max(possible, 1.0), 1.0) ** 1.5 * self.tiring
        return Tank(tank.quick + 0.13 * near, tank.slow + 0.03 * near)

    def rest(self, tank: Tank, seconds: float) -> Tank:
        return Tank(tank.quick * math.exp(-seconds / self.quick_s), tank.slow * math.exp(-seconds / 900))

    def training(self, share: float, reps: int, possible: float) -> float:
        """Best near 87 %, for sets that end within some four repetitions of failure: a quarter of the speed lost
        trains as much as half of it (Sánchez-Moreno et al. 2020)."""
        heavy = math.exp(-(((share - 0.87) / 0.13) ** 2))
        near = 1.0 / (1.0 + math.exp((max(possible - reps, 0.0) - 4.5) / 0.9))
        return heavy * near if reps > 0 else 0.0


@dataclass(frozen=True, slots=True)
class Drained:
    """Repetitions drain a store that refills while resting; every set also costs a little force for the day."""

    cost: float
    tiring: float
    refill_s: float

    def possible(self, share: float, tank: Tank) -> float:
        full = 1.0 + (-math.log(share) - tank.slow) / self.cost
        return min(full if full < 1 else full * (1.0 - tank.quick), MOST_REPS)

    def spend(self, tank: Tank, reps: int, possible: float) -> Tank:
        used = min(reps / max(possible, 1.0), 1.0)
        return Tank(tank.quick + (1.0 - tank.quick) * used, tank.slow + 0.007 * used * self.tiring)

    def rest(self, tank: Tank, seconds: float) -> Tank:
        return Tank(tank.quick * math.exp(-seconds / self.refill_s), tank.slow * math.exp(-seconds / 3600))

    def training(self, share: float, reps: int, possible: float) -> float:
        """Work at heavy shares counts, up to a measure; half the possible repetitions train half as much."""
        near = min(reps / max(possible, 1.0) / 0.65, 1.0)
        return min(reps * share**6 / 2.0, 1.0) * near


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight line between load and repetitions, as Brzycki (1993) and Lander (1985) have it; each set costs a
    part of what is left, more of it the closer to failure, and rest gives it back as 1/time."""

    per_rep: float
    tiring: float
    half_s: float

    def possible(self, share: float, tank: Tank) -> float:
        full = 1.0 + (1.0 - share) / self.per_rep
        return full if full < 1.0 else full * max(1.0 - tank.quick - tank.slow, 0.1)

    def spend(self, tank: Tank, reps: int, possible: float) -> Tank:
        near = min(reps / max(possible, 1.0), 1.0) ** 2 * self.tiring
        return Tank(min(tank.quick + 0.55 * near, 0.9), tank.slow + 0.03 * near)

    def rest(self, tank: Tank, seconds: float) -> Tank:
        return Tank(tank.quick / (1.0 + seconds / self.half_s), tank.slow)

    def training(self, share: float, reps: int, possible: float) -> float:
        """Any set of three or more above three quarters of the 1RM that ends within five of failure; less beside it."""
        heavy = min(max((share - 0.55) / 0.2, 0.0), 1.0)
        near = min(max(1.4 - (possible - reps) / 8.0, 0.0), 1.0)
        return heavy * near * min(reps / 3.0, 1.0)
