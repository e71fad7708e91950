"""The nouns of training. Frozen values; masses in grams, rests in seconds, ratings in halves of RPE.

Every value goes to and from the JSON of the athlete file by `to_json`, `from_json`; `core.files` reads
untrusted files and names every mistake, `from_json` here trusts its input.
"""

from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Any, Literal

from core.units import Unit

Json = dict[str, Any]


class Exercise(StrEnum):
    """What was done. A negative, a hold or a dip is never a pull-up."""

    PULL_UP = "pull_up"
    CHIN_UP = "chin_up"
    NEUTRAL_GRIP_PULL_UP = "neutral_grip_pull_up"
    WIDE_GRIP_PULL_UP = "wide_grip_pull_up"
    NEGATIVE = "negative"
    HANG = "hang"
    SCAPULAR_PULL = "scapular_pull"
    ROW = "row"
    DIP = "dip"
    PUSH_UP = "push_up"
    OTHER = "other"


class Aim(StrEnum):
    """What an athlete trains for."""

    FIRST_PULL_UP = "first_pull_up"
    STRENGTH = "strength"
    HYPERTROPHY = "hypertrophy"
    POWER = "power"
    MUSCULAR_ENDURANCE = "muscular_endurance"
    ENDURANCE = "endurance"


class Screening(StrEnum):
    """The outcome of the questions before the first session; the answers are not kept."""

    CLEAR = "clear"
    PENDING = "pending"
    REFERRED = "referred"


class Weekday(StrEnum):
    """Days of the week, in order; `Weekday.of(day)`."""

    MON = "mon"
    TUE = "tue"
    WED = "wed"
    THU = "thu"
    FRI = "fri"
    SAT = "sat"
    SUN = "sun"

    @staticmethod
    def of(day: date) -> "Weekday":
        return tuple(Weekday)[day.weekday()]


@dataclass(frozen=True, slots=True)
class Set:
    """One set as done. `added_g` and `bands` are None where neither message nor context says."""

    reps: int
    added_g: int | None = 0
    bands: tuple[str, ...] | None = ()
    rpe: float | None = None
    failed: bool = False
    exercise: Exercise = Exercise.PULL_UP
    seconds: int | None = None

    def to_json(self) -> Json:
        """The form of the contract: `exercise` and `seconds` left out where they have their default."""
        bands = None if self.bands is None else list(self.bands)
        plain: Json = {
            "reps": self.reps,
            "added_g": self.added_g,
            "bands": bands,
            "rpe": self.rpe,
            "failed": self.failed,
        }
        return plain | _unusual(self.exercise, self.seconds)

    @staticmethod
    def from_json(data: Json) -> "Set":
        bands = data.get("bands", [])
        rpe = data.get("rpe")
        return Set(
            reps=int(data["reps"]),
            added_g=data.get("added_g", 0),
            bands=None if bands is None else tuple(sorted(bands)),
            rpe=None if rpe is None else float(rpe),
            failed=bool(data.get("failed", False)),
            exercise=Exercise(data.get("exercise", Exercise.PULL_UP)),
            seconds=data.get("seconds"),
        )


@dataclass(frozen=True, slots=True)
class PrescribedSet:
    """One set to do. `rpe` is the effort aimed at; `amrap`: as many good repetitions as it allows."""

    reps: int
    added_g: int = 0
    bands: tuple[str, ...] = ()
    rest_s: int = 180
    rpe: float | None = None
    amrap: bool = False
    exercise: Exercise = Exercise.PULL_UP
    seconds: int | None = None

    def to_json(self) -> Json:
        plain: Json = {
            "reps": self.reps,
            "added_g": self.added_g,
            "bands": list(self.bands),
            "rest_s": self.rest_s,
            "rpe": self.rpe,
            "amrap": self.amrap,
        }
        return plain | _unusual(self.exercise, self.seconds)

    @staticmethod
    def from_json(data: Json) -> "PrescribedSet":
        rpe = data.get("rpe")
        return PrescribedSet(
            reps=int(data["reps"]),
            added_g=data.get("added_g") or 0,
            bands=tuple(sorted(data.get("bands") or ())),
            rest_s=int(data.get("rest_s", 180)),
            rpe=None if rpe is None else float(rpe),
            amrap=bool(data.get("amrap", False)),
            exercise=Exercise(data.get("exercise", Exercise.PULL_UP)),
            seconds=data.get("seconds"),
        )


def _unusual(exercise: Exercise, seconds: int | None) -> Json:
    shown: Json = {} if exercise is Exercise.PULL_UP else {"exercise": exercise.value}
    return shown if seconds is None else shown | {"seconds": seconds}


@dataclass(frozen=True, slots=True)
class Pain:
    """Pain as reported: a place in English, a score of 0-10 and next morning's score, each None if unsaid."""

    place: str | None = None
    score: int | None = None
    morning: int | None = None

    def to_json(self) -> Json:
        return {"place": self.place, "score": self.score, "morning": self.morning}

    @staticmethod
    def from_json(data: Json) -> "Pain":
        return Pain(data.get("place"), data.get("score"), data.get("morning"))


@dataclass(frozen=True, slots=True)
class Session:
    """One training day as it stands on record."""

    id: str
    day: date
    sets: tuple[Set, ...] = ()
    prescribed: tuple[PrescribedSet, ...] = ()
    skipped: bool = False
    pain: Pain | None = None

    def to_json(self) -> Json:
        return {
            "id": self.id,
            "day": self.day.isoformat(),
            "sets": [done.to_json() for done in self.sets],
            "prescribed": [planned.to_json() for planned in self.prescribed],
            "skipped": self.skipped,
            "pain": None if self.pain is None else self.pain.to_json(),
        }

    @staticmethod
    def from_json(data: Json) -> "Session":
        pain = data.get("pain")
        return Session(
            id=str(data["id"]),
            day=date.fromisoformat(data["day"]),
            sets=tuple(Set.from_json(one) for one in data.get("sets", ())),
            prescribed=tuple(PrescribedSet.from_json(one) for one in data.get("prescribed", ())),
            skipped=bool(data.get("skipped", False)),
            pain=None if pain is None else Pain.from_json(pain),
        )


@dataclass(frozen=True, slots=True)
class BodyMass:
    """A reported body weight."""

    day: date
    mass_g: int

    def to_json(self) -> Json:
        return {"day": self.day.isoformat(), "mass_g": self.mass_g}

    @staticmethod
    def from_json(data: Json) -> "BodyMass":
        return BodyMass(date.fromisoformat(data["day"]), int(data["mass_g"]))


@dataclass(frozen=True, slots=True)
class Limits:
    """What a session may cost at most; None: no limit of the athlete's own."""

    sets: int | None = None
    rest_s: int | None = None
    open_sets: int | None = None
    minutes: int | None = None

    def to_json(self) -> Json:
        return {
            "sets": self.sets,
            "rest_s": self.rest_s,
            "open_sets": self.open_sets,
            "minutes": self.minutes,
        }

    @staticmethod
    def from_json(data: Json) -> "Limits":
        return Limits(data.get("sets"), data.get("rest_s"), data.get("open_sets"), data.get("minutes"))


@dataclass(frozen=True, slots=True)
class Athlete:
    """Who is coached. `hour` is the wished local time of the session's message, "HH:MM"."""

    id: str
    name: str
    unit: Unit = Unit.KG
    language: str = "en"
    time_zone: str = "UTC"
    hour: str = "07:00"
    born: date | None = None
    sex: Literal["female", "male"] | None = None
    screening: Screening = Screening.PENDING
    training_days: tuple[Weekday, ...] = (Weekday.MON, Weekday.WED, Weekday.FRI)
    aim: Aim = Aim.STRENGTH
    limits: Limits = field(default_factory=Limits)
    exercises: tuple[Exercise, ...] = (Exercise.PULL_UP,)

    def age(self, today: date) -> int | None:
        """Full years, None where the date of birth is unknown."""
        if self.born is None:
            return None
        before_birthday = (today.month, today.day) < (self.born.month, self.born.day)
        return today.year - self.born.year - before_birthday

    def to_json(self) -> Json:
        shown: Json = {
            "id": self.id,
            "name": self.name,
            "unit": self.unit.value,
            "language": self.language,
            "time_zone": self.time_zone,
            "hour": self.hour,
            "born": None if self.born is None else self.born.isoformat(),
            "sex": self.sex,
            "screening": self.screening.value,
            "training_days": [day.value for day in self.training_days],
            "aim": self.aim.value,
            "limits": self.limits.to_json(),
        }
        if self.exercises != (Exercise.PULL_UP,):
            shown["exercises"] = [exercise.value for exercise in self.exercises]
        return shown

    @staticmethod
    def from_json(data: Json) -> "Athlete":
        born = data.get("born")
        plain = Athlete(id=str(data["id"]), name=str(data["name"]))
        return Athlete(
            id=plain.id,
            name=plain.name,
            unit=Unit(data.get("unit", plain.unit)),
            language=data.get("language", plain.language),
            time_zone=data.get("time_zone", plain.time_zone),
            hour=data.get("hour", plain.hour),
            born=None if born is None else date.fromisoformat(born),
            sex=data.get("sex"),
            screening=Screening(data.get("screening", plain.screening)),
            training_days=tuple(Weekday(day) for day in data.get("training_days", plain.training_days)),
            aim=Aim(data.get("aim", plain.aim)),
            limits=Limits.from_json(data.get("limits") or {}),
            exercises=tuple(Exercise(one) for one in data.get("exercises", plain.exercises)),
        )
