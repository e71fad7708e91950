"""What is said, to whom and how loudly, before it has words or a messenger."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from core.phrases import Phrase
from core.training import Json


class Lane(StrEnum):
    """Replies overtake broadcasts."""

    REPLY = "reply"
    BROADCAST = "broadcast"


@dataclass(frozen=True, slots=True)
class ToMember:
    """The direct chats of one member."""

    member: str


@dataclass(frozen=True, slots=True)
class ToCoaches:
    """Every coach of the club."""


@dataclass(frozen=True, slots=True)
class ToGroup:
    """The club chat: nothing personal that was not opted into."""


Audience = ToMember | ToCoaches | ToGroup


@dataclass(frozen=True, slots=True)
class Button:
    """A choice on the message; `choice` counts from 0 within `question`."""

    label: Phrase
    question: str
    choice: int
    numbered: bool = True  # without buttons: shown as "1) …", or as it is where the words themselves are typed


@dataclass(frozen=True, slots=True)
class Say:
    """One message of one or more lines.

    `slot` names a card: a later message with the same slot edits it where the messenger can, and is not sent
    at all where it cannot and `silent` is true. `prescribes`: cancelled if pain is reported before it goes.
    """

    to: Audience
    lines: tuple[Phrase, ...]
    buttons: tuple[Button, ...] = ()
    lane: Lane = Lane.REPLY
    slot: str | None = None
    silent: bool = False
    picture: Json | None = None
    not_before: datetime | None = None
    worthless_after: datetime | None = None
    prescribes: bool = False


@dataclass(frozen=True, slots=True)
class React:
    """A mark on the member's own message: it is committed."""

    member: str
    message: str


Speech = Say | React
