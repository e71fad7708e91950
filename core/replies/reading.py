"""What goes into a reading and what comes out of it: `Context` and `Reading`, to and from the contract's JSON."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Literal

from core.training import Exercise, Json, Pain, Set
from core.units import Unit

Mode = Literal["add", "replace", "none"]
ASKABLE = ("pain", "effort", "bodyweight", "choice")


@dataclass(frozen=True, slots=True)
class Context:
    """What is known when a message arrives; everything optional. `prescribed` and `last` are None where unknown."""

    unit: Unit = Unit.KG
    language: str | None = None
    bands: tuple[str, ...] = ()
    prescribed: tuple[Set, ...] | None = None
    logged: tuple[Set, ...] = ()
    last: tuple[Set, ...] | None = None
    bodyweight_g: int | None = None
    today: date | None = None
    exercises: tuple[Exercise, ...] = (Exercise.PULL_UP,)
    asked: str | None = None

    @staticmethod
    def from_json(data: object) -> "Context":
        """Tolerant: a field that is missing or of the wrong form is as if not given."""
        if not isinstance(data, Mapping):
            return Context()
        trained = tuple(_exercise(one) for one in _list(data.get("exercises")))
        mass = data.get("bodyweight_g")
        language = data.get("language")
        return Context(
            unit=Unit.LB if data.get("unit") == "lb" else Unit.KG,
            language=language[:2].lower() if isinstance(language, str) else None,
            bands=tuple(one for one in _list(data.get("bands")) if isinstance(one, str) and one.strip()),
            prescribed=_session(data.get("prescribed")),
            logged=_sets(data.get("logged")) or (),
            last=_session(data.get("last")),
            bodyweight_g=mass if isinstance(mass, int) and mass > 0 else None,
            today=_day(data.get("today")),
            exercises=trained if trained else (Exercise.PULL_UP,),
            asked=_asked(data.get("asked")),
        )


@dataclass(frozen=True, slots=True)
class Unclear:
    """Why a coach would ask first, and the candidate answers, the likeliest first."""

    why: str
    readings: "tuple[Reading, ...]" = ()


@dataclass(frozen=True, slots=True)
class Reading:
    """What a message says. `sets` is empty and `mode` "none" where it is unclear."""

    sets: tuple[Set, ...] = ()
    mode: Mode = "none"
    skipped: bool = False
    bodyweight_g: int | None = None
    pain: Pain | None = None
    unclear: Unclear | None = None
    note: str = ""
    day: date | None = None
    move_to: date | None = None
    away: tuple[date, date] | None = None
    healed: str | None = None
    effort: float | None = None
    choice: int | None = None

    def to_json(self) -> Json:
        """The contract's form; what was not said is left out of the further keys."""
        plain: Json = {
            "sets": [one.to_json() for one in self.sets],
            "mode": self.mode,
            "skipped": self.skipped,
            "bodyweight_g": self.bodyweight_g,
            "pain": None if self.pain is None else {"place": self.pain.place, "score": self.pain.score},
            "unclear": None if self.unclear is None else _unclear(self.unclear),
            "note": self.note,
        }
        return plain | self._further()

    def _further(self) -> Json:
        shown: Json = {}
        for name in ("day", "move_to"):
            day = getattr(self, name)
            shown |= {} if day is None else {name: day.isoformat()}
        if self.away is not None:
            shown["away"] = [day.isoformat() for day in self.away]
        for name in ("healed", "effort", "choice"):
            said = getattr(self, name)
            shown |= {} if said is None else {name: said}
        return shown


def _unclear(unclear: Unclear) -> Json:
    return {"why": unclear.why, "readings": [reading.to_json() for reading in unclear.readings]}


def _list(data: object) -> list[Any]:
    return list(data) if isinstance(data, list | tuple) else []


def _session(data: object) -> tuple[Set, ...] | None:
    return _sets(data.get("sets")) if isinstance(data, Mapping) else _sets(data)


def _sets(data: object) -> tuple[Set, ...] | None:
    if not isinstance(data, list | tuple):
        return None
    return tuple(found for found in map(_set, data) if found is not None)


def _set(data: object) -> Set | None:
    if not isinstance(data, Mapping) or not isinstance(data.get("reps"), int):
        return None
    try:
        return Set.from_json(dict(data) | {"exercise": _exercise(data.get("exercise", Exercise.PULL_UP))})
    except (TypeError, ValueError):
        return None


def _exercise(name: object) -> Exercise:
    return Exercise(name) if isinstance(name, str) and name in set(Exercise) else Exercise.OTHER


def _day(data: object) -> date | None:
    try:
        return date.fromisoformat(data) if isinstance(data, str) else None
    except ValueError:
        return None


def _asked(data: object) -> str | None:
    about = data.get("about") if isinstance(data, Mapping) else None
    return about if about in ASKABLE else None


__all__ = ["Context", "Mode", "Reading", "Unclear"]
