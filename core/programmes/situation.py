"""What a rule sees, and what it answers."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING, Any

from core.kit import Kit
from core.orders import Order
from core.phrases import Phrase
from core.reasons import Reason
from core.safety import Verdict
from core.training import Athlete, Exercise, PrescribedSet, Session, Set

if TYPE_CHECKING:
    from core.strength import Belief

GRIPS = frozenset((Exercise.PULL_UP, Exercise.CHIN_UP, Exercise.NEUTRAL_GRIP_PULL_UP, Exercise.WIDE_GRIP_PULL_UP))


@dataclass(frozen=True, slots=True)
class Rung:
    """One load of the kit: what hangs, what helps, and the system mass as believed, in grams."""

    added_g: int
    bands: tuple[str, ...]
    system_g: int


@dataclass(frozen=True)
class Situation:
    """Everything a rule may go by.

    `rungs`: every load of the kit, lightest system mass first. `sessions`: the recent window, impossible
    items left out, oldest first, all before `day`. `orders`: those in force on the day.
    """

    athlete: Athlete
    day: date
    mass_g: int
    rungs: tuple[Rung, ...]
    belief: "Belief"
    sessions: tuple[Session, ...] = ()
    orders: tuple[Order, ...] = ()
    verdict: Verdict = field(default_factory=Verdict)
    exercise: Exercise = Exercise.PULL_UP
    kit: Kit = field(default_factory=Kit)
    pulls: tuple[tuple[tuple[str, ...], int], ...] = ()  # mean pull of each set of bands, in grams

    def system_g(self, added_g: int, bands: tuple[str, ...]) -> int | None:
        """The system mass of a load today; None where the kit does not have its bands any more."""
        pull = self.pull_of.get(bands, None if bands else 0)
        return None if pull is None else max(self.mass_g + added_g - pull, 1)

    def loads(self, session: Session) -> tuple[tuple[Set, int], ...]:
        """The sets of the main exercise in any grip with their system mass, where load and bands are known."""
        found = []
        for one in session.sets:
            kin = one.exercise is self.exercise or {one.exercise, self.exercise} <= GRIPS
            if not kin or one.added_g is None or one.bands is None:
                continue
            system = self.system_g(one.added_g, one.bands)
            if system is not None:
                found.append((one, system))
        return tuple(found)

    @cached_property
    def pull_of(self) -> dict[tuple[str, ...], int]:
        return dict(self.pulls)

    @cached_property
    def one_rm_g(self) -> int:
        return self.belief.one_rm()[0]

    @cached_property
    def noted(self) -> dict[str, Any]:
        """What was worked out from this situation once, kept beside it."""
        return {}


@dataclass(frozen=True, slots=True)
class Plan:
    """A rule's answer: the working sets, why, cautions of its own, and whether a person should look at it."""

    sets: tuple[PrescribedSet, ...] = ()
    reasons: tuple[Reason, ...] = ()
    cautions: tuple[Phrase, ...] = ()
    tell_coach: bool = False

    def because(self, *reasons: Reason) -> "Plan":
        return replace(self, reasons=self.reasons + reasons)


Rule = Callable[[Situation], Plan]
