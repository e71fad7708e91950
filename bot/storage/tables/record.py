"""What is on record about an athlete."""

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

from bot.storage.tables.base import Big, Json, Maybe, check, of_member


class Entry(SQLModel, table=True):
    """A message revision with its context and reading. Inserted, never changed."""

    __table_args__ = of_member(sa.Index("ix_entry_day", "club_id", "member_id", "day"))
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    message: str = Field(primary_key=True)
    revision: int = Field(primary_key=True, sa_type=Big)
    written: int = Field(sa_type=Big)
    written_tie: str
    day: str
    text: str
    context: Json = Field(sa_type=sa.JSON)
    reading: Json = Field(sa_type=sa.JSON)
    reader: str
    heard_ms: int = Field(sa_type=Big)


class TrainingSession(SQLModel, table=True):
    """The fold of a day's entries."""

    __tablename__ = "session"
    __table_args__ = of_member(
        sa.UniqueConstraint("club_id", "member_id", "id"),
        check("pain_score", "pain_score BETWEEN 0 AND 10"),
        check("pain_morning", "pain_morning BETWEEN 0 AND 10"),
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
        check("reps", "reps >= 0"),
        check("added_g", "added_g >= 0"),
        check("seconds", "seconds >= 0"),
        check("rpe_halves", "rpe_halves BETWEEN 2 AND 20"),
    )
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    day: str = Field(primary_key=True)
    position: int = Field(primary_key=True)
    exercise: str = Field(default="pull_up", sa_column_kwargs={"server_default": "pull_up"})
    reps: int
    added_g: int | None = None
    bands: list[str] | None = Field(default=None, sa_type=Maybe)
    rpe_halves: int | None = None
    failed: bool = False
    seconds: int | None = None


class Prescription(SQLModel, table=True):
    """At most one an athlete and training day, by its key."""

    __table_args__ = of_member()
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    day: str = Field(primary_key=True)
    sets: list[Json] = Field(sa_type=sa.JSON)
    advice: Json = Field(sa_type=sa.JSON)
    given_ms: int = Field(sa_type=Big)


class Bodyweight(SQLModel, table=True):
    __table_args__ = of_member(check("mass", "mass_g > 0"))
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    day: str = Field(primary_key=True)
    mass_g: int


class StandingOrder(SQLModel, table=True):
    """An order of coach, athlete or engine, in the order given."""

    __tablename__ = "standing_order"
    __table_args__ = of_member()
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    number: int = Field(primary_key=True)
    content: Json = Field(sa_type=sa.JSON)


class Kit(SQLModel, table=True):
    __table_args__ = of_member()
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    since: str = Field(primary_key=True)
    content: Json = Field(sa_type=sa.JSON)


class Question(SQLModel, table=True):
    """The one open question of a member."""

    __table_args__ = of_member()
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    id: str
    about: str
    asked_ms: int = Field(sa_type=Big)
    expires_ms: int = Field(sa_type=Big)
    day: str
    subject: str
    readings: list[Json] = Field(sa_type=sa.JSON)


class Told(SQLModel, table=True):
    __table_args__ = of_member()
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    code: str = Field(primary_key=True)
    at_ms: int = Field(sa_type=Big)


class Checkpoint(SQLModel, table=True):
    """The estimate behind the sessions up to `day`; void where `inputs` no longer match."""

    __table_args__ = of_member()
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    exercise: str = Field(primary_key=True)
    day: str = Field(primary_key=True)
    engine: str
    inputs: str
    content: Json = Field(sa_type=sa.JSON)
