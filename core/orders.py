"""Wishes of the coach, the athlete or the engine that bind the next sessions."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Literal

from core.training import Aim, Json


class OrderKind(StrEnum):
    """A wish of the coach or the athlete that binds the engine."""

    HOLD = "hold"  # no heavier than last time
    CAP = "cap"  # not over `added_g` on the belt
    SET = "set"  # this load, these sets, this effort, whatever the engine thinks; what it leaves open is ours
    AIM = "aim"  # train for `aim` from this day on
    PAUSE = "pause"  # nothing is prescribed
    AWAY = "away"  # not there from `day` to `until`
    EXTRA = "extra"  # `day` is a training day besides the usual ones: a session moved here
    NOTE = "note"  # words for the athlete, shown above our own
    TEST = "test"  # a test day: the load is tapered towards it
    SETTLED = "settled"  # a person says that the pain has settled


@dataclass(frozen=True, slots=True)
class Order:
    """An order in force from `day` to `until` (both included; None: until lifted)."""

    day: date
    by: Literal["coach", "athlete", "engine"]
    kind: OrderKind
    until: date | None = None
    added_g: int | None = None
    bands: tuple[str, ...] | None = None
    sets: int | None = None
    reps: int | None = None
    rpe: float | None = None
    aim: Aim | None = None
    text: str = ""

    def in_force(self, day: date) -> bool:
        return self.day <= day and (self.until is None or day <= self.until)

    def to_json(self) -> Json:
        shown: Json = {"day": self.day.isoformat(), "by": self.by, "kind": self.kind.value}
        if self.until is not None:
            shown["until"] = self.until.isoformat()
        for name in ("added_g", "sets", "reps", "rpe"):
            if getattr(self, name) is not None:
                shown[name] = getattr(self, name)
        if self.bands is not None:
            shown["bands"] = list(self.bands)
        if self.aim is not None:
            shown["aim"] = self.aim.value
        if self.text:
            shown["text"] = self.text
        return shown

    @staticmethod
    def from_json(data: Json) -> "Order":
        until, bands, aim = data.get("until"), data.get("bands"), data.get("aim")
        return Order(
            day=date.fromisoformat(data["day"]),
            by=data["by"],
            kind=OrderKind(data["kind"]),
            until=None if until is None else date.fromisoformat(until),
            added_g=data.get("added_g"),
            bands=None if bands is None else tuple(sorted(bands)),
            sets=data.get("sets"),
            reps=data.get("reps"),
            rpe=None if data.get("rpe") is None else float(data["rpe"]),
            aim=None if aim is None else Aim(aim),
            text=data.get("text", ""),
        )
