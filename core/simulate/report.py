"""Seasons side by side: gain beside failed sets, error and coverage of the estimate, the first free pull-up."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from random import Random
from statistics import fmean, median
from typing import Any

from core.simulate.athletes import TUNED, Family, Nature, drawn
from core.simulate.kits import KITS, RATIOS, stated_pulls
from core.simulate.oracle import clairvoyant, oracle
from core.simulate.rules import double_progression, two_for_two
from core.simulate.season import Policy, Season, blind, season

Json = dict[str, Any]

SETTLED_DAY = 28  # the estimate's error is reckoned from here on
STEP_WINDOW = 12  # sessions that a step is measured against


@dataclass(frozen=True, slots=True)
class Row:
    """One policy over all athletes. Shares and errors are fractions; None where there is nothing to measure."""

    policy: str
    gain: float
    of_oracle: float | None
    failed: float
    sets_a_session: float
    error: float | None
    coverage: float | None
    weeks_to_free: float | None
    not_yet_free: int
    largest_step: float


@dataclass(frozen=True, slots=True)
class Report:
    """What a run found, and how to run it again."""

    seed: int
    athletes: int
    weeks: int
    kit: str
    rows: tuple[Row, ...]

    def lines(self) -> list[str]:
        """A table for people."""
        head = f"{self.athletes} athletes, {self.weeks} weeks, kit {self.kit}, seed {self.seed}"
        columns = "policy              gain  of oracle  failed  sets  error  in 80 %  weeks to free  largest step"
        return [head, columns, *(_line(row) for row in self.rows)]

    def to_json(self) -> Json:
        rows = [{name: getattr(row, name) for name in Row.__dataclass_fields__} for row in self.rows]
        return {"seed": self.seed, "athletes": self.athletes, "weeks": self.weeks, "kit": self.kit, "rows": rows}


def _line(row: Row) -> str:
    of_oracle = "-" if row.of_oracle is None else f"{row.of_oracle:.2f}"
    error = "-" if row.error is None else f"{100 * row.error:.1f} %"
    within = "-" if row.coverage is None else f"{100 * row.coverage:.0f} %"
    free = "-" if row.weeks_to_free is None else f"{row.weeks_to_free:.1f} ({row.not_yet_free} not yet)"
    return (
        f"{row.policy:18} {100 * row.gain:4.1f} %  {of_oracle:>9}  {100 * row.failed:4.1f} %  "
        f"{row.sets_a_session:4.1f}  {error:>5}  {within:>7}  {free:>13}  {100 * row.largest_step:10.1f} %"
    )


def engine() -> Policy:
    """The coach itself: the pure function behind `plimsoll advise`."""
    from core.advise import advise
    from core.files import athlete_file

    return blind(lambda file: advise(athlete_file(file)).to_json())


def policies() -> dict[str, Policy]:
    """Whom a run compares."""
    return {
        "engine": engine(),
        "two for two": blind(two_for_two),
        "double progression": blind(double_progression),
        "oracle": oracle,
        "clairvoyant": clairvoyant,
    }


def run(
    seed: int,
    athletes: int,
    weeks: int,
    kit_name: str = "micro",
    compared: dict[str, Policy] | None = None,
    families: Sequence[Family] = TUNED,
) -> Report:
    """Seasons of `athletes` under every policy, each athlete the same under all of them; the families take turns."""
    plans = policies() if compared is None else compared
    people = [athlete(seed, turn, kit_name, families[turn % len(families)]) for turn in range(athletes)]
    seasons = {name: played(seed, people, weeks, kit_name, policy) for name, policy in plans.items()}
    best = fmean(one.gain for one in seasons["oracle"]) if "oracle" in seasons else 0.0
    return Report(seed, athletes, weeks, kit_name, tuple(_row(name, found, best) for name, found in seasons.items()))


def played(seed: int, people: Sequence[Nature], weeks: int, kit_name: str, policy: Policy) -> list[Season]:
    """One season for each of the people."""
    aim = "first_pull_up" if kit_name == "bands" else "strength"
    return [
        season(who, KITS[kit_name], aim, weeks, policy, Random(f"{seed} {turn} season"))
        for turn, who in enumerate(people)
    ]


def one_season(seed: int, weeks: int, kit_name: str) -> Season:
    """The first athlete's season under the engine, for a picture."""
    return played(seed, [athlete(seed, 0, kit_name, TUNED[0])], weeks, kit_name, engine())[0]


def athlete(seed: int, turn: int, kit_name: str, family: Family) -> Nature:
    """The athlete of that turn: the same whatever the policy."""
    return drawn(family, RATIOS[kit_name], stated_pulls(KITS[kit_name]), Random(f"{seed} {turn} {family}"))


def _row(name: str, seasons: Sequence[Season], best: float) -> Row:
    asked = sum(len(one.asked) for each in seasons for one in each.trained)
    sessions = sum(bool(one.asked) for each in seasons for one in each.trained)
    missed = sum(one.missed for each in seasons for one in each.trained)
    gain = fmean(one.gain for one in seasons)
    errors, inside = estimates(seasons)
    waits = [wait for one in seasons if (wait := _wait(one)) is not None]
    return Row(
        policy=name,
        gain=gain,
        of_oracle=gain / best if best > 0 else None,
        failed=missed / max(asked, 1),
        sets_a_session=asked / max(sessions, 1),
        error=median(errors) if errors else None,
        coverage=fmean(inside) if inside else None,
        weeks_to_free=median(waits) / 7 if waits else None,
        not_yet_free=sum(one.able_day is not None and one.free_day is None for one in seasons),
        largest_step=max((step for one in seasons for step in steps(one)), default=0.0),
    )


def estimates(seasons: Sequence[Season]) -> tuple[list[float], list[bool]]:
    """Absolute log errors once settled, and whether each interval held the truth, all sessions pooled."""
    errors, inside = [], []
    for each in seasons:
        for one in each.trained:
            if one.estimate is not None:
                middle, low, high = one.estimate
                inside.append(low <= one.true_g <= high)
                if one.day >= SETTLED_DAY:
                    errors.append(abs(math.log(middle / one.true_g)))
    return errors, inside


def _wait(one: Season) -> int | None:
    """Days from able to do a free pull-up to having done one; None for those able from the first day."""
    if one.able_day is None or one.free_day is None or one.able_day == 0:
        return None
    return max(one.free_day - one.able_day, 0)


def steps(one: Season) -> list[float]:
    """How far each session's heaviest set lies over those of the dozen before it, as a fraction of the system mass
    at that day's body mass: what the load did, not the scales."""
    trained = [session for session in one.trained if session.asked]
    loads = [session.heaviest_g - session.mass_g for session in trained]
    found = []
    for place in range(1, len(trained)):
        body, before = trained[place].mass_g, max(loads[max(place - STEP_WINDOW, 0) : place])
        found.append((body + loads[place]) / (body + before) - 1.0)
    return found
