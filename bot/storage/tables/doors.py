"""The durable doors: what arrived, what the clock owes, what is to be said."""

from typing import Any

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

from bot.storage.tables.base import Big, Counter, Json, Maybe, of_member, one_of


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
        one_of("state", "state", "new", "handled", "aside"),
        sa.Index("ix_inbox_waiting", "messenger", "chat", "state", "written"),
    )
    id: int | None = Field(default=None, primary_key=True, sa_type=Counter)
    messenger: str
    chat: str
    message: str
    revision: int = Field(sa_type=Big)
    kind: str
    written: int = Field(sa_type=Big)  # sorts the messages of a chat as they were written
    envelope: Json = Field(sa_type=sa.JSON)
    received_ms: int = Field(sa_type=Big)
    state: str = "new"
    failures: int = 0
    why: str = ""


class Occurrence(SQLModel, table=True):
    """What the clock owes, once per member, kind and local date."""

    __table_args__ = of_member(
        one_of("state", "state", "planned", "done", "aside"), sa.Index("ix_occurrence_due", "state", "due_ms")
    )
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    kind: str = Field(primary_key=True)
    day: str = Field(primary_key=True)
    due_ms: int = Field(sa_type=Big)
    state: str = "planned"
    failures: int = Field(default=0, sa_column_kwargs={"server_default": "0"})
    why: str = Field(default="", sa_column_kwargs={"server_default": ""})


class Outbox(SQLModel, table=True):
    """What is to be said: phrases until the first try, then the frozen text.

    `member_id` hears it (NULL: a group); `about_id` is whom it speaks of, so that an erasure finds it.
    """

    __table_args__ = of_member(
        sa.ForeignKeyConstraint(
            ["club_id", "about_id"], ["membership.club_id", "membership.id"], name="fk_outbox_club_id_about"
        ),
        one_of("lane", "lane", "reply", "broadcast"),
        one_of("state", "state", "waiting", "begun", "sent", "uncertain", "refused", "dropped"),
        one_of("verb", "verb", "message", "edit", "reaction", "pin"),
        sa.Index("ix_outbox_due", "state", "due_ms"),
        sa.Index("ix_outbox_chat", "messenger", "chat", "state"),
        sa.Index("ix_outbox_slot", "club_id", "member_id", "slot"),
    )
    id: int | None = Field(default=None, primary_key=True, sa_type=Counter)
    club_id: str = Field(foreign_key="club.id")
    member_id: str | None = None
    about_id: str | None = None
    messenger: str
    chat: str
    verb: str
    lane: str
    lines: list[Any] = Field(default_factory=list, sa_type=sa.JSON)
    buttons: list[Any] = Field(default_factory=list, sa_type=sa.JSON)
    picture: Json | None = Field(default=None, sa_type=Maybe)
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
    words: Json | None = Field(default=None, sa_type=Maybe)
    remote: str | None = None
    ended_ms: int | None = Field(default=None, sa_type=Big)
    cause: str = ""
    why: str = ""
