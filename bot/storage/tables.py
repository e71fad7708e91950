"""The schema. Whatever belongs to a club carries `club_id` in its key and in every foreign key.

Instants are integers, milliseconds since 1970 in UTC; local dates are ISO text; masses are grams; ratings are
counted in halves. `table=True` models validate nothing, so what must hold is a constraint here.
"""

from typing import Any

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
SQLModel.metadata.naming_convention = NAMING
metadata = SQLModel.metadata

Big = sa.BigInteger
Counter = sa.BigInteger().with_variant(sa.Integer(), "sqlite")  # SQLite counts only its own integer key


def _member(*more: sa.Constraint | sa.Index) -> tuple[sa.Constraint | sa.Index, ...]:
    """The composite foreign key to a membership: a row of one club can never point into another."""
    return (sa.ForeignKeyConstraint(["club_id", "member_id"], ["membership.club_id", "membership.id"]), *more)


def _one_of(name: str, column: str, *allowed: str) -> sa.CheckConstraint:
    listed = ", ".join(f"'{one}'" for one in allowed)
    return sa.CheckConstraint(f"{column} IN ({listed})", name=name)


class Club(SQLModel, table=True):
    id: str = Field(primary_key=True)
    name: str = Field(unique=True)
    time_zone: str
    created_ms: int = Field(sa_type=Big)


class Person(SQLModel, table=True):
    id: str = Field(primary_key=True)


class Account(SQLModel, table=True):
    """Somebody at a messenger; a person may have several."""

    messenger: str = Field(primary_key=True)
    user: str = Field(primary_key=True)
    person_id: str = Field(foreign_key="person.id", index=True)


class Membership(SQLModel, table=True):
    """A person in a club: an athlete, a coach or a guardian. `profile` is the athlete of the athlete file."""

    __table_args__ = (
        sa.ForeignKeyConstraint(["club_id", "ward"], ["membership.club_id", "membership.id"]),
        _one_of("role", "role", "athlete", "coach", "guardian"),
    )
    club_id: str = Field(primary_key=True, foreign_key="club.id")
    id: str = Field(primary_key=True)
    person_id: str | None = Field(default=None, foreign_key="person.id", index=True)
    name: str
    role: str
    language: str
    ward: str | None = None
    shown_as: str | None = None
    joined_ms: int | None = Field(default=None, sa_type=Big)
    profile: dict[str, Any] = Field(sa_type=sa.JSON)


class Chat(SQLModel, table=True):
    """A conversation's place: one member's, or the club's group."""

    __table_args__ = _member(
        _one_of("kind", "kind", "direct", "group"),
        sa.CheckConstraint("(kind = 'direct') = (member_id IS NOT NULL)", name="direct_or_group"),
        sa.Index("ix_chat_member", "club_id", "member_id"),
    )
    messenger: str = Field(primary_key=True)
    chat: str = Field(primary_key=True)
    club_id: str = Field(foreign_key="club.id")
    member_id: str | None = None
    kind: str
    open: bool = True
    used_ms: int = Field(default=0, sa_type=Big)  # when its member last wrote here: answers go to the latest


class Cursor(SQLModel, table=True):
    messenger: str = Field(primary_key=True)
    value: str


class Conversation(SQLModel, table=True):
    """The row that is claimed: work is taken by conversation, never by message."""

    messenger: str = Field(primary_key=True)
    chat: str = Field(primary_key=True)
    waiting_ms: int | None = Field(default=None, sa_type=Big, index=True)  # since when; None: nothing waits


class Inbox(SQLModel, table=True):
    """Arrivals as the network told them, before anybody knows whose they are."""

    __table_args__ = (
        sa.UniqueConstraint("messenger", "chat", "message", "revision", "kind"),
        sa.ForeignKeyConstraint(["messenger", "chat"], ["conversation.messenger", "conversation.chat"]),
        _one_of("state", "state", "new", "handled", "aside"),
        sa.Index("ix_inbox_waiting", "messenger", "chat", "state", "written"),
    )
    id: int | None = Field(default=None, primary_key=True, sa_type=Counter)
    messenger: str
    chat: str
    message: str
    revision: int = Field(sa_type=Big)
    kind: str
    written: int = Field(sa_type=Big)  # sorts the messages of a chat as they were written
    envelope: dict[str, Any] = Field(sa_type=sa.JSON)
    received_ms: int = Field(sa_type=Big)
    state: str = "new"
    failures: int = 0
    why: str = ""


class Entry(SQLModel, table=True):
    """A message revision with its context and reading. Inserted, never changed."""

    __table_args__ = _member(sa.Index("ix_entry_day", "club_id", "member_id", "day"))
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    message: str = Field(primary_key=True)
    revision: int = Field(primary_key=True, sa_type=Big)
    written: int = Field(sa_type=Big)
    written_tie: str
    day: str
    text: str
    context: dict[str, Any] = Field(sa_type=sa.JSON)
    reading: dict[str, Any] = Field(sa_type=sa.JSON)
    reader: str
    heard_ms: int = Field(sa_type=Big)


class TrainingSession(SQLModel, table=True):
    """The fold of a day's entries."""

    __tablename__ = "session"
    __table_args__ = _member(
        sa.CheckConstraint("pain_score BETWEEN 0 AND 10", name="pain_score"),
        sa.CheckConstraint("pain_morning BETWEEN 0 AND 10", name="pain_morning"),
    )
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    day: str = Field(primary_key=True)
    id: str
    skipped: bool = False
    pain: bool = False
    pain_place: str | None = None
    pain_score: int | None = None
    pain_morning: int | None = None


class DoneSet(SQLModel, table=True):
    __tablename__ = "done_set"
    __table_args__ = (
        sa.ForeignKeyConstraint(
            ["club_id", "member_id", "day"], ["session.club_id", "session.member_id", "session.day"]
        ),
        sa.CheckConstraint("reps >= 0", name="reps"),
        sa.CheckConstraint("rpe_halves BETWEEN 2 AND 20", name="rpe_halves"),
    )
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    day: str = Field(primary_key=True)
    position: int = Field(primary_key=True)
    exercise: str = Field(default="pull_up", sa_column_kwargs={"server_default": "pull_up"})
    reps: int
    added_g: int | None = None
    bands: list[str] | None = Field(default=None, sa_type=sa.JSON)
    rpe_halves: int | None = None
    failed: bool = False
    seconds: int | None = None


class Prescription(SQLModel, table=True):
    """At most one an athlete and training day, by its key."""

    __table_args__ = _member()
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    day: str = Field(primary_key=True)
    sets: list[dict[str, Any]] = Field(sa_type=sa.JSON)
    advice: dict[str, Any] = Field(sa_type=sa.JSON)
    given_ms: int = Field(sa_type=Big)


class Bodyweight(SQLModel, table=True):
    __table_args__ = _member(sa.CheckConstraint("mass_g > 0", name="mass"))
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    day: str = Field(primary_key=True)
    mass_g: int


class StandingOrder(SQLModel, table=True):
    """An order of coach, athlete or engine; `until` is a column because lifting an order moves it."""

    __tablename__ = "standing_order"
    __table_args__ = _member()
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    number: int = Field(primary_key=True)
    content: dict[str, Any] = Field(sa_type=sa.JSON)


class Kit(SQLModel, table=True):
    __table_args__ = _member()
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    since: str = Field(primary_key=True)
    content: dict[str, Any] = Field(sa_type=sa.JSON)


class Question(SQLModel, table=True):
    """The one open question of a member."""

    __table_args__ = _member()
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    id: str
    about: str
    asked_ms: int = Field(sa_type=Big)
    expires_ms: int = Field(sa_type=Big)
    day: str
    subject: str
    readings: list[dict[str, Any]] = Field(sa_type=sa.JSON)


class Told(SQLModel, table=True):
    __table_args__ = _member()
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    code: str = Field(primary_key=True)
    at_ms: int = Field(sa_type=Big)


class Checkpoint(SQLModel, table=True):
    """The estimate behind the sessions up to `day`; void where `inputs` no longer match."""

    __table_args__ = _member()
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    exercise: str = Field(primary_key=True)
    day: str = Field(primary_key=True)
    engine: str
    inputs: str
    content: dict[str, Any] = Field(sa_type=sa.JSON)


class Occurrence(SQLModel, table=True):
    """What the clock owes, once per member, kind and local date."""

    __table_args__ = _member(
        _one_of("state", "state", "planned", "done"), sa.Index("ix_occurrence_due", "state", "due_ms")
    )
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    kind: str = Field(primary_key=True)
    day: str = Field(primary_key=True)
    due_ms: int = Field(sa_type=Big)
    state: str = "planned"


class Outbox(SQLModel, table=True):
    """What is to be said: phrases until the first try, then the frozen text."""

    __table_args__ = (
        sa.ForeignKeyConstraint(["club_id", "member_id"], ["membership.club_id", "membership.id"]),
        _one_of("state", "state", "waiting", "begun", "sent", "uncertain", "refused", "dropped"),
        _one_of("verb", "verb", "message", "edit", "reaction", "pin"),
        sa.Index("ix_outbox_due", "state", "due_ms"),
        sa.Index("ix_outbox_chat", "messenger", "chat", "state"),
        sa.Index("ix_outbox_slot", "club_id", "member_id", "slot"),
    )
    id: int | None = Field(default=None, primary_key=True, sa_type=Counter)
    club_id: str = Field(foreign_key="club.id")
    member_id: str | None = None
    messenger: str
    chat: str
    verb: str
    lane: str
    lines: list[Any] = Field(default_factory=list, sa_type=sa.JSON)
    buttons: list[Any] = Field(default_factory=list, sa_type=sa.JSON)
    picture: dict[str, Any] | None = Field(default=None, sa_type=sa.JSON)
    slot: str | None = None
    target: str | None = None
    thread: str | None = None
    silent: bool = False
    prescribes: bool = False
    written_ms: int = Field(sa_type=Big)
    due_ms: int = Field(sa_type=Big)
    worthless_ms: int | None = Field(default=None, sa_type=Big)
    state: str = "waiting"
    tries: int = 0
    again: bool = False
    words: dict[str, Any] | None = Field(default=None, sa_type=sa.JSON)
    remote: str | None = None
    ended_ms: int | None = Field(default=None, sa_type=Big)
    cause: str = ""
    why: str = ""


class Invite(SQLModel, table=True):
    """Only the hash of a code is kept."""

    __table_args__ = _member()
    code_hash: str = Field(primary_key=True)
    club_id: str
    member_id: str
    created_ms: int = Field(sa_type=Big)
    expires_ms: int = Field(sa_type=Big)
    used_ms: int | None = Field(default=None, sa_type=Big)
    used_by: str | None = None
    revoked: bool = False


class Stranger(SQLModel, table=True):
    """A chat that belongs to nobody: how often it has tried a code, and whether it had its one line."""

    messenger: str = Field(primary_key=True)
    chat: str = Field(primary_key=True)
    guesses: int = 0
    answered: bool = False


class Consent(SQLModel, table=True):
    __table_args__ = _member()
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    kind: str = Field(primary_key=True)
    at_ms: int = Field(sa_type=Big)


class Erasure(SQLModel, table=True):
    """Whom we have erased, by hash only, to be replayed on a restored backup."""

    subject_hash: str = Field(primary_key=True)
    at_ms: int = Field(sa_type=Big)


class Audit(SQLModel, table=True):
    """Every change with its actor and its cause."""

    __table_args__ = (sa.Index("ix_audit_club", "club_id", "member_id"),)
    id: int | None = Field(default=None, primary_key=True, sa_type=Counter)
    club_id: str = Field(foreign_key="club.id")
    member_id: str | None = None
    at_ms: int = Field(sa_type=Big)
    actor: str
    cause: str
    change: str


class Setting(SQLModel, table=True):
    club_id: str = Field(primary_key=True, foreign_key="club.id")
    name: str = Field(primary_key=True)
    value: str
