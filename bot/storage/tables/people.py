"""Clubs, people, their chats and rights. A person, a chat and a membership are three things."""

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

from bot.storage.tables.base import Big, Counter, Json, check, of_member, one_of


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
        one_of("role", "role", "athlete", "coach", "guardian"),
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
    created_ms: int = Field(default=0, sa_type=Big, sa_column_kwargs={"server_default": "0"})
    profile: Json = Field(sa_type=sa.JSON)


class Chat(SQLModel, table=True):
    """A conversation's place: the club's group, or a direct chat, in which somebody speaks as this member.

    `moved_to`: its new address at the same messenger, where messages that still wait under the old one belong.
    """

    __table_args__ = of_member(
        one_of("kind", "kind", "direct", "group"),
        check("direct_or_group", "(kind = 'direct') = (member_id IS NOT NULL)"),
        sa.Index("ix_chat_member", "club_id", "member_id"),
    )
    messenger: str = Field(primary_key=True)
    chat: str = Field(primary_key=True)
    club_id: str = Field(foreign_key="club.id")
    member_id: str | None = None
    kind: str
    open: bool = True
    used_ms: int = Field(default=0, sa_type=Big)  # when its member last wrote here: answers go to the latest
    moved_to: str | None = None


class Seat(SQLModel, table=True):
    """A membership that hears in a direct chat, and the account that took the seat: nobody else speaks from it.

    A coach who trains, or a member of two clubs, has two seats in one chat.
    """

    __table_args__ = of_member(
        sa.ForeignKeyConstraint(["messenger", "chat"], ["chat.messenger", "chat.chat"]),
        sa.Index("ix_seat_chat", "messenger", "chat"),
        sa.Index("ix_seat_account", "messenger", "account"),
    )
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    messenger: str = Field(primary_key=True)
    chat: str = Field(primary_key=True)
    account: str


class Invite(SQLModel, table=True):
    """Only the hash of a code is kept."""

    __table_args__ = of_member()
    code_hash: str = Field(primary_key=True)
    club_id: str
    member_id: str
    created_ms: int = Field(sa_type=Big)
    expires_ms: int = Field(sa_type=Big)
    used_ms: int | None = Field(default=None, sa_type=Big)
    used_by: str | None = None  # the chat's key
    used_name: str | None = None  # as the messenger shows the person, for the coach
    revoked: bool = False


class Stranger(SQLModel, table=True):
    """A chat that belongs to nobody: how often it has tried a code, and whether it had its one line."""

    messenger: str = Field(primary_key=True)
    chat: str = Field(primary_key=True)
    guesses: int = 0
    answered: bool = False


class Consent(SQLModel, table=True):
    """`given_by`: the membership that agreed, the athlete or a guardian."""

    __table_args__ = of_member()
    club_id: str = Field(primary_key=True)
    member_id: str = Field(primary_key=True)
    kind: str = Field(primary_key=True)
    at_ms: int = Field(sa_type=Big)
    given_by: str | None = None
    withdrawn_ms: int | None = Field(default=None, sa_type=Big)


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
