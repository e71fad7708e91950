"""The nouns of a club and its conversations, as the judgement sees them: no ids of networks, no rows."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Protocol

from core.orders import Order
from core.speech import Speech
from core.training import Athlete, BodyMass, Json, Pain, PrescribedSet, Session, Set


class Role(StrEnum):
    """What a member is in this club."""

    ATHLETE = "athlete"
    COACH = "coach"
    GUARDIAN = "guardian"


@dataclass(frozen=True, slots=True)
class Member:
    """One membership: a person in this club. A coach who also trains has two memberships."""

    id: str
    name: str
    role: Role
    language: str = "en"
    ward: str | None = None  # a guardian's athlete
    shown_as: str | None = None  # the name an athlete wants shown in the club chat; None: not shown
    joined: datetime | None = None  # None until an invite was used


@dataclass(frozen=True, slots=True)
class Entry:
    """One message revision with its context and reading: kept for ever, never changed.

    `message` names the message ("telegram:42:1001"); a later revision of the same message supersedes.
    `order` sorts messages of one conversation as they were written.
    """

    message: str
    revision: int
    order: tuple[int, str]
    day: date
    text: str
    context: Json
    reading: Json
    reader: str
    heard: datetime


@dataclass(frozen=True, slots=True)
class Question:
    """What the coach has asked. Its readings are frozen; a bare number answers it until it expires."""

    id: str
    about: str  # "pain", "morning", "effort", "bodyweight", "choice", "screening", "joining", "confirm"
    asked: datetime
    expires: datetime
    day: date
    subject: str = ""  # the sore place, the joining step, the message to be confirmed
    readings: tuple[Json, ...] = ()


@dataclass(frozen=True, slots=True)
class DayRecord:
    """What the entries of one day say, folded."""

    sets: tuple[Set, ...] = ()
    skipped: bool = False
    pain: Pain | None = None
    mass_g: int | None = None


@dataclass(frozen=True, slots=True)
class Log:
    """Everything the engine may know of one athlete."""

    athlete: Athlete
    kits: tuple[tuple[date, Json], ...] = ()  # in force from that day on, oldest first; JSON of the kit file
    bodyweights: tuple[BodyMass, ...] = ()
    sessions: tuple[Session, ...] = ()  # one a day, oldest first
    orders: tuple[Order, ...] = ()
    entries: tuple[Entry, ...] = ()  # current and superseded revisions of recent days, in source order
    question: Question | None = None
    told: frozenset[str] = frozenset()  # codes of what is said once: "first_belt", "first_band", "welcome"

    def session(self, day: date) -> Session | None:
        return next((one for one in self.sessions if one.day == day), None)


class Book(Protocol):
    """What a decision may read, as of one transaction. The store is one; a test's dictionary is another."""

    def roster(self) -> tuple[Member, ...]: ...
    def member(self, member: str) -> Member | None: ...
    def log(self, member: str) -> Log: ...


# --- what happens -----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Said:
    """A text by `member`, new (`revision` 0) or edited. `foreign`: by another's hand; never logs."""

    member: str
    message: str
    revision: int
    order: tuple[int, str]
    text: str
    sent: datetime
    foreign: bool = False


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """A message was deleted by its writer."""

    member: str
    message: str
    revision: int


@dataclass(frozen=True, slots=True)
class Tapped:
    """A button: `choice` (from 0) of `question`; an old question is harmless."""

    member: str
    question: str
    choice: int


@dataclass(frozen=True, slots=True)
class Attached:
    """A photo, film or voice note, by its reference at the messenger."""

    member: str
    message: str
    kind: str
    reference: str


class DueKind(StrEnum):
    """What the clock may bring, once per athlete, kind and local date."""

    PREVIEW = "preview"  # show the coach the session that goes out on this day
    SESSION = "session"  # send today's session
    CLOSE = "close"  # 90 minutes after the last set
    MORNING = "morning"  # ask how yesterday's sore place is
    NUDGE = "nudge"  # nothing heard on a training day
    DIGEST = "digest"  # the coach's week
    REST = "rest"  # the rest is over


@dataclass(frozen=True, slots=True)
class Due:
    """The clock's event: `kind` for `member` on the local date `day`."""

    member: str
    kind: DueKind
    day: date


@dataclass(frozen=True, slots=True)
class Joined:
    """An invite was used: `member` is now reachable; `language` as the messenger tells it."""

    member: str
    language: str | None


Event = Said | Withdrawn | Tapped | Attached | Due | Joined


# --- what follows -----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Heard:
    """Keep this revision."""

    member: str
    entry: Entry


@dataclass(frozen=True, slots=True)
class DayBecomes:
    """The record of `day` is now this; estimates from that day on are worked out anew."""

    member: str
    day: date
    record: DayRecord


@dataclass(frozen=True, slots=True)
class Prescribed:
    """The session of `day`, unique; `advice` is the whole answer of the engine."""

    member: str
    day: date
    sets: tuple[PrescribedSet, ...]
    advice: Json


@dataclass(frozen=True, slots=True)
class Asked:
    """This question is open now, in place of any other of this member."""

    member: str
    question: Question


@dataclass(frozen=True, slots=True)
class Closed:
    """The question is answered or void."""

    member: str
    question: str


@dataclass(frozen=True, slots=True)
class Ordered:
    """An order is given."""

    member: str
    order: Order


@dataclass(frozen=True, slots=True)
class Lifted:
    """An order holds until `day`, that day included, and no longer."""

    member: str
    order: Order
    day: date


@dataclass(frozen=True, slots=True)
class ProfileBecomes:
    """The athlete's own facts are now these."""

    member: str
    athlete: Athlete


@dataclass(frozen=True, slots=True)
class KitBecomes:
    """The kit from `day` on, JSON of the kit file."""

    member: str
    day: date
    kit: Json


@dataclass(frozen=True, slots=True)
class Told:
    """Something that is said once was said."""

    member: str
    code: str


@dataclass(frozen=True, slots=True)
class Planned:
    """`kind` is due for `member` at `due`, for the local date `day`; replaces an unclaimed one."""

    member: str
    kind: DueKind
    day: date
    due: datetime


@dataclass(frozen=True, slots=True)
class Unplanned:
    """`kind` on `day` is not due any more."""

    member: str
    kind: DueKind
    day: date


@dataclass(frozen=True, slots=True)
class Revoked:
    """The member's open invites no longer work, and their chats are closed."""

    member: str


Change = (
    Heard | DayBecomes | Prescribed | Asked | Closed | Ordered | Lifted
    | ProfileBecomes | KitBecomes | Told | Planned | Unplanned | Revoked
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Outcome:
    """A decision: what becomes of the record, and what is said."""

    changes: tuple[Change, ...] = ()
    say: tuple[Speech, ...] = ()

    def __add__(self, other: "Outcome") -> "Outcome":
        return Outcome(self.changes + other.changes, self.say + other.say)
