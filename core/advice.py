"""An advice as a value: the session, what to hang, what to expect, why, and what to beware of."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from core.cues import cue
from core.kit import Kit
from core.phrases import Phrase, phrase
from core.programmes.situation import Plan, Situation
from core.reasons import Reason, because, said_first
from core.training import Athlete, Json, PrescribedSet, Session

if TYPE_CHECKING:
    from core.strength import Fault

WHY = 3  # sentences at most
NAMED = 3  # impossible items said one by one


@dataclass(frozen=True)
class Advice:
    """A session, or the reason for none. `estimate`: (median, low, high) in grams; `expected`: repetitions."""

    athlete: Athlete
    day: date
    warm_up: tuple[PrescribedSet, ...]
    sets: tuple[PrescribedSet, ...]
    hang: Json
    estimate: tuple[int, int, int]
    expected: tuple[tuple[int, int, int] | None, ...]
    reasons: tuple[Reason, ...]
    cautions: tuple[Phrase, ...]
    proposals: tuple[Reason, ...] = ()  # for the coach to decide
    tell_coach: bool = False
    stopped: bool = False  # safety or an order allows nothing

    @property
    def proposed(self) -> tuple[Phrase, ...]:
        """The proposals in words, for the coach."""
        return tuple(Phrase(f"proposal.{one.code}", one.values) for one in self.proposals)

    @property
    def cue(self) -> Phrase | None:
        """One thing to think of today."""
        return cue(self.day, self.sets)

    @property
    def why(self) -> tuple[Phrase, ...]:
        """At most three sentences, the weightiest first."""
        told = [one for one in said_first(self.reasons) if one not in self.proposals]
        return tuple(one.phrase for one in told[:WHY])

    def to_json(self) -> Json:
        """The answer of the contract, its sentences in the athlete's language and unit."""
        from core.language import render

        language, unit = self.athlete.language, self.athlete.unit
        middle, low, high = self.estimate
        return {
            "day": self.day.isoformat(),
            "warm_up": [one.to_json() for one in self.warm_up],
            "sets": [one.to_json() for one in self.sets],
            "hang": self.hang,
            "estimate": {"one_rm_g": middle, "low_g": low, "high_g": high},
            "expected_reps": [_interval(one) for one in self.expected],
            "reasons": [one.to_json() for one in said_first(self.reasons)],
            "why": [render(one, language, unit) for one in self.why],
            "cautions": [render(one, language, unit) for one in self.cautions],
        }


def _interval(expected: tuple[int, int, int] | None) -> dict[str, int | None]:
    middle, low, high = (None, None, None) if expected is None else expected
    return {"median": middle, "low": low, "high": high}


def hang_of(kit: Kit | None, sets: tuple[PrescribedSet, ...]) -> Json:
    """What to hang for each set, as `plimsoll load` says it."""
    from core.loading import load, tastes_for

    targets = [one.added_g for one in sets]
    if kit is None or not kit.pieces or not targets:
        return {"sets": [{"target_g": one, "total_g": 0, "pieces": []} for one in targets], "moves": 0}
    return load(targets, kit, tastes=tastes_for(kit, [one.reps for one in sets])).to_json()


def named(faults: "tuple[Fault, ...]") -> tuple[Reason, ...]:
    """The impossible items of the history, which the estimate leaves out."""
    return tuple(because(f"left_out_{one.code}", 4, day=one.day, **dict(one.numbers)) for one in faults[:NAMED])


def used_in(sessions: Iterable[Session]) -> frozenset[str]:
    """Of "belt" and "band" what some set had."""
    found = set()
    for one in (done for session in sessions for done in session.sets):
        found |= {"belt"} if one.added_g else set()
        found |= {"band"} if one.bands else set()
    return frozenset(found)


def cautions_for(
    scene: Situation, plan: Plan, faults: "tuple[Fault, ...]", used: frozenset[str] = frozenset()
) -> tuple[Phrase, ...]:
    """The first belt, the first band, what was left out of the estimate, and that this is no medicine.

    `used`: of "belt" and "band" what was used before the situation's sessions.
    """
    said = [phrase(f"caution.left_out_{one.code}", day=one.day) for one in faults[:NAMED]]
    if len(faults) > NAMED:
        said.append(phrase("caution.left_out_more", n=len(faults) - NAMED))
    if not plan.sets:
        return tuple(said)
    before = used | used_in(scene.sessions)
    if any(one.added_g for one in plan.sets) and "belt" not in before:
        said.append(phrase("caution.first_belt"))
    if any(one.bands for one in plan.sets) and "band" not in before:
        said.append(phrase("caution.first_band"))
    return (*said, phrase("caution.not_medical"))
