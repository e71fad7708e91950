"""The port every messenger fits: envelopes in, postings out, two errors. Nothing here knows of training."""

from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Literal, Protocol


class Arrival(StrEnum):
    """What an envelope holds."""

    TEXT = "text"  # `revision` 0, or a later revision of the same message
    DELETED = "deleted"  # the writer took the message back
    TAP = "tap"  # a button: `text` is its token
    ATTACHMENT = "attachment"  # `text` is the caption, `reference` what the messenger calls the file
    OPENED = "opened"  # a chat was opened to us, or we were added to a group
    CLOSED = "closed"  # blocked, removed, deactivated
    MOVED = "moved"  # the group has a new address: `text`
    UNREADABLE = "unreadable"  # kept and set aside


@dataclass(frozen=True, slots=True)
class Envelope:
    """One arrival, as the network tells it. (messenger, chat, message, revision, kind) is its identity."""

    messenger: str
    chat: str
    message: str
    kind: Arrival
    sent: datetime
    text: str = ""
    revision: int = 0
    order: int = 0  # sorts messages of one chat as they were written (a counter, or milliseconds)
    sender: str = ""
    sender_name: str = ""
    language: str | None = None
    direct: bool = True
    foreign: bool = False  # forwarded, via another bot, or in a channel's name: never logged
    replies_to: str | None = None  # the message answered, or the one whose button was tapped
    thread: str | None = None  # the topic of a group in which it was written; answers go there
    reference: str | None = None  # "photo:FILE", "voice:FILE", …
    raw: str = ""  # the whole arrival, where we could not read it


@dataclass(frozen=True, slots=True)
class Batch:
    """Envelopes in order and the cursor that confirms them; stored before the network hears."""

    messenger: str
    envelopes: tuple[Envelope, ...]
    cursor: str | None = None


Intake = Callable[[Batch], Awaitable[None]]


@dataclass(frozen=True, slots=True)
class Can:
    """What a messenger can do, as data; the conversation adapts."""

    buttons: bool = False
    edits: bool = False
    reactions: bool = False
    pictures: bool = False
    silent: bool = False
    pins: bool = False
    copies: bool = False
    repeats_safely: bool = False  # the same posting id sent twice arrives once


@dataclass(frozen=True, slots=True)
class PostButton:
    """A button's words and the token that comes back (1-64 bytes)."""

    label: str
    token: str


@dataclass(frozen=True, slots=True)
class PostText:
    """A new message. `posting` is the outbox row's id: the idempotency key where the network has one."""

    posting: str
    chat: str
    text: str
    buttons: tuple[PostButton, ...] = ()
    silent: bool = False
    again: bool = False  # sent a second time after an uncertain first; the words already say so
    thread: str | None = None


@dataclass(frozen=True, slots=True)
class PostEdit:
    """New words for a message of ours. Repeatable."""

    posting: str
    chat: str
    message: str
    text: str
    buttons: tuple[PostButton, ...] = ()


@dataclass(frozen=True, slots=True)
class PostReaction:
    """A mark on their message. Repeatable."""

    posting: str
    chat: str
    message: str


@dataclass(frozen=True, slots=True)
class PostPicture:
    """A PNG with the same numbers in words beside it."""

    posting: str
    chat: str
    png: bytes
    text: str
    buttons: tuple[PostButton, ...] = ()
    silent: bool = False
    again: bool = False
    thread: str | None = None


@dataclass(frozen=True, slots=True)
class PostPin:
    """Keep our message in sight at the top of the chat, silently. Repeatable."""

    posting: str
    chat: str
    message: str


@dataclass(frozen=True, slots=True)
class PostCopy:
    """Their photo, film or voice note from another chat of the same network, with our words beside it."""

    posting: str
    chat: str
    from_chat: str
    message: str
    text: str


Posting = PostText | PostEdit | PostReaction | PostPicture | PostPin | PostCopy


class Unavailable(Exception):
    """Not now. `sent` says whether the message may have arrived; `wait_s` is the network's own wish."""

    def __init__(self, why: str, sent: Literal["no", "unknown"] = "no", wait_s: float | None = None) -> None:
        super().__init__(why)
        self.why, self.sent, self.wait_s = why, sent, wait_s


class Refused(Exception):
    """Never. `closed`: this chat does not hear us any more; `moved_to`: its new address."""

    def __init__(self, why: str, closed: bool = False, moved_to: str | None = None) -> None:
        super().__init__(why)
        self.why, self.closed, self.moved_to = why, closed, moved_to


class Misconfigured(Exception):
    """This messenger cannot be served until its owner changes something; one sentence says what."""

    def __init__(self, why: str) -> None:
        super().__init__(why)
        self.why = why


class Messenger(Protocol):
    """One network. Constructing does nothing; `serve` runs until cancelled or until it raises Misconfigured."""

    name: str
    can: Can

    async def serve(self, cursor: str | None, intake: Intake) -> None:
        """Take arrivals and confirm each batch to the network only after `await intake(batch)` returned."""

    async def post(self, posting: Posting) -> str:
        """The network's id of what was posted ("" for reactions, edits and pins). Raises Unavailable or Refused."""

    async def link(self, code: str) -> str:
        """What opens a chat with us and brings `code`. Raises Unavailable, Refused or Misconfigured."""

    async def direct(self, chat: str) -> bool:
        """Whether nobody but us and one person reads this chat, asked of the network now."""

    async def close(self) -> None: ...
