"""A posting that waits, as delivery sees it, and what becomes of it after a try. Pure: no clock, no network, no SQL."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from bot.messengers import Can, PostButton, Refused, Unavailable
from core.speech import Lane
from core.training import Json

FIRST_WAIT_S = 1.0
LONGEST_WAIT_S = 300.0


class Verb(StrEnum):
    """What is done at the messenger. All but a new message may be repeated without harm."""

    MESSAGE = "message"
    EDIT = "edit"
    REACTION = "reaction"
    PIN = "pin"


@dataclass(frozen=True, slots=True)
class Words:
    """What is said, frozen at the first try; `picture` is a spec, drawn when it is sent."""

    text: str
    buttons: tuple[PostButton, ...] = ()


@dataclass(frozen=True, slots=True)
class Waiting:
    """One row of the outbox.

    `tries`: how often a try has ended without success. `begun`: a try was begun and its end was never written down:
    the process was killed in between. `again`: an earlier try may have arrived.
    """

    id: str
    messenger: str
    chat: str
    verb: Verb = Verb.MESSAGE
    target: str | None = None  # the network's id of the message that is edited, marked or pinned
    lane: Lane = Lane.REPLY
    silent: bool = False
    thread: str | None = None
    prescribes: bool = False
    worthless_after: datetime | None = None
    tries: int = 0
    begun: bool = False
    again: bool = False
    words: Words | None = None
    picture: Json | None = None
    personal: bool = False  # for one reader only: not sent where somebody else reads the chat by now


@dataclass(frozen=True, slots=True)
class Turn:
    """Rows to send now, one a chat at most; whether more are due already; when the next one will be.

    `next_due` is needed only where there are no rows and no more: else there is another turn before long.
    """

    rows: tuple[Waiting, ...] = ()
    more: bool = False
    next_due: datetime | None = None


@dataclass(frozen=True, slots=True)
class Sent:
    """It arrived; `remote` is the network's id of it, "" where it has none."""

    remote: str


@dataclass(frozen=True, slots=True)
class Later:
    """Try again at `at`. `again`: it may have arrived, so the words must say that they come a second time."""

    at: datetime
    again: bool
    why: str


@dataclass(frozen=True, slots=True)
class Uncertain:
    """It may have arrived and is not sent again."""

    why: str


@dataclass(frozen=True, slots=True)
class Refuse:
    """The network will not have it, now or ever."""

    why: str


@dataclass(frozen=True, slots=True)
class Close:
    """The chat hears us no more: everything that waits for it is refused, and the coach is told."""

    why: str


@dataclass(frozen=True, slots=True)
class Move:
    """The chat has a new address: the row, and all that waits with it, goes there."""

    to: str


@dataclass(frozen=True, slots=True)
class Anew:
    """What it would have edited is gone: it becomes a message of its own."""

    why: str


@dataclass(frozen=True, slots=True)
class Drop:
    """Worthless, or not to be said any more."""

    why: str


Verdict = Sent | Later | Uncertain | Refuse | Close | Move | Anew | Drop


def stale(row: Waiting, now: datetime) -> bool:
    return row.worthless_after is not None and now >= row.worthless_after


def after_unavailable(row: Waiting, error: Unavailable, can: Can, now: datetime) -> Verdict:
    """Certainly not sent, or repeatable: later. Uncertain: a session once more and recognisably, all else not."""
    uncertain = error.sent == "unknown"
    repeatable = row.verb is not Verb.MESSAGE or can.repeats_safely
    if uncertain and not repeatable:
        if not row.prescribes or row.again:
            return Uncertain(error.why)
        return Later(now + wait(row.tries, error.wait_s), True, error.why)
    return Later(now + wait(row.tries, error.wait_s), row.again, error.why)


def after_refused(row: Waiting, error: Refused) -> Verdict:
    if error.moved_to is not None:
        return Move(error.moved_to)
    if error.closed:
        return Close(error.why)
    if row.verb is Verb.EDIT:
        return Anew(error.why)
    return Refuse(error.why)


def wait(tries: int, wish_s: float | None) -> timedelta:
    """Doubling from a second to five minutes; never less than the network's own wish."""
    doubled = min(FIRST_WAIT_S * 2.0 ** min(tries, 30), LONGEST_WAIT_S)
    return timedelta(seconds=doubled if wish_s is None else max(doubled, wish_s))
