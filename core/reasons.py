"""Why a session is as it is: codes with numbers, whose words are in `core/language` under `reason.`"""

from dataclasses import dataclass
from datetime import date

from core.phrases import Mass, Phrase, Value
from core.training import Json


@dataclass(frozen=True, slots=True)
class Reason:
    """A code and its numbers. `weight` orders what is said first: 0 stops, 1 holds, 2 changes, 3 explains."""

    code: str
    values: tuple[tuple[str, Value], ...] = ()
    weight: int = 3

    @property
    def phrase(self) -> Phrase:
        return Phrase(f"reason.{self.code}", self.values)

    def to_json(self) -> Json:
        """Masses in grams with names that end in `_g`, days as ISO dates."""
        return {"code": self.code, "numbers": dict(_plain(name, value) for name, value in self.values)}


def because(code: str, weight: int = 3, **values: Value) -> Reason:
    """`because("reps_missed", reps=4, asked=5)`."""
    return Reason(code, tuple(values.items()), weight)


def _plain(name: str, value: Value) -> tuple[str, object]:
    match value:
        case Mass():
            return (name if name.endswith("_g") else f"{name}_g"), value.mass_g
        case date():
            return name, value.isoformat()
        case Phrase():
            return name, value.key
        case tuple():
            return name, [_plain(name, one)[1] for one in value]
        case _:
            return name, value


def said_first(reasons: tuple[Reason, ...]) -> tuple[Reason, ...]:
    """The same, the weightiest first, each code once."""
    first = {reason.code: reason for reason in reversed(reasons)}
    return tuple(sorted(first.values(), key=lambda one: (one.weight, reasons.index(one))))


UPWARD = frozenset(("step_up", "reps_up", "change_over", "change_over_jump", "change_over_next"))
STEPS = UPWARD | {"step_down", "same_again", "change_back", "heavy_single", "free_single", "attempt", "attempt_helped"}


LIGHTER = frozenset(("deload", "deload_tired", "taper", "test_day"))  # the session is not the step that was chosen
BACK = frozenset(("lay_off", "break", "pain_back", "pain_unsettled", "pain_today", "pain_settled", "pain_unscored"))


def consistent(reasons: tuple[Reason, ...]) -> tuple[Reason, ...]:
    """Without those that a weightier one makes untrue: no step up in a lighter week, no first session after a break."""
    codes = {one.code for one in reasons}
    untrue: set[str] = set()
    if codes & LIGHTER:
        untrue |= UPWARD | {"step_down", "same_again", "week_rises_slowly"}
    if codes & BACK or "maximal_yesterday" in codes:
        untrue |= UPWARD | {"first_session", "week_rises_slowly"}
    if "order_hold" in codes:
        untrue |= UPWARD
    return tuple(one for one in reasons if one.code not in untrue)


def without_steps(reasons: tuple[Reason, ...]) -> tuple[Reason, ...]:
    """Without what explains the step of a session that is not the one meant."""
    return tuple(one for one in reasons if one.code not in STEPS | {"week_rises_slowly"})
