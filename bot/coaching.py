"""Intake, drain, tick: what arrives and what is due is decided and kept, one transaction each."""

import logging
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, timedelta
from hashlib import sha256

from bot.clock import Clock
from bot.messengers import Arrival, Batch, Envelope
from bot.planning import replan
from bot.storage import Database, DueRow, Owner, Store, Transaction, Waiting, chat_of
from core.challenges import group_said
from core.club import (
    Attached,
    Due,
    DueKind,
    Event,
    Joined,
    KitBecomes,
    Lifted,
    Ordered,
    Outcome,
    ProfileBecomes,
    Said,
    Tapped,
    Withdrawn,
)
from core.conversation.turn import line
from core.decide import decide
from core.phrases import phrase
from core.speech import Say, ToCoaches, ToMember

log = logging.getLogger("plimsoll.coaching")

CODE = re.compile(r"\s*(?:/start\s+)?([A-Za-z0-9_-]{22})\s*")  # 128 random bits in URL-safe base64
MOST_GUESSES = 5
AT_A_TIME = 8  # messages of a conversation in one transaction
Wake = Callable[[Transaction, str], None]
REPEATED_FOR = timedelta(days=30)  # no network brings an arrival again after that
TRIED_AGAIN = timedelta(minutes=10)  # what was due and failed by a mistake of ours
RESCHEDULING = (Ordered, Lifted, ProfileBecomes, KitBecomes)


class Coaching:
    """The shell around `decide`. `wake(tx, key)` announces a conversation's work, `posted(tx)` new outbox rows."""

    def __init__(self, database: Database, clock: Clock, wake: Wake, posted: Callable[[Transaction], None]) -> None:
        self._database, self._clock, self._wake, self._posted = database, clock, wake, posted

    async def intake(self, batch: Batch) -> None:
        """Keep what arrived together with the cursor; only then may the network be told."""
        now = self._clock.now()

        def keep(tx: Transaction) -> None:
            for key in tx.receive(batch, now):
                self._wake(tx, key)

        await self._database.run(keep)

    async def drain(self, key: str) -> None:
        """Everything that waits in one conversation, in the order written, a few messages in each transaction."""
        while await self._database.run(lambda tx: self._some(tx, key)):
            pass

    def _some(self, tx: Transaction, key: str) -> bool:
        """Decide what waits, up to a number that keeps others from waiting long; whether there may be more."""
        return all(self._next(tx, key) for _ in range(AT_A_TIME))

    def _next(self, tx: Transaction, key: str) -> bool:
        """Decide one waiting message; False where none waits or another worker has the conversation."""
        waiting = tx.claim(key)
        if waiting is None:
            return False
        now = self._clock.now()
        savepoint = tx.savepoint()
        try:
            self._arrived(tx, waiting.envelope, now)
            savepoint.commit()
        except Exception as error:  # a mistake of ours: the message waits, and is set aside at the third
            log.exception("message %s of %s could not be decided", waiting.id, chat_of(key)[0])
            savepoint.rollback()
            self._failed(tx, waiting, error, now)
        else:
            tx.handled(waiting.id)
        self._posted(tx)
        return True

    def _failed(self, tx: Transaction, waiting: Waiting, error: Exception, now: datetime) -> None:
        """At the third failure the message is set aside; its writer and the coaches are told."""
        if not tx.failed(waiting, repr(error)):
            return
        owner = tx.whose(waiting.envelope.messenger, waiting.envelope.chat)
        if owner is None or owner.member is None:
            return
        store = tx.club(owner.club)
        member = store.member(owner.member)
        name = owner.member if member is None else member.name
        to_writer = Say(ToMember(owner.member), (line("set_aside", words=waiting.envelope.text[:60]),))
        to_coaches = Say(ToCoaches(), (line("set_aside_coach", name=name, words=waiting.envelope.text[:60]),))
        store.post((to_writer, to_coaches), "set aside", now, owner.member)

    def _arrived(self, tx: Transaction, envelope: Envelope, now: datetime) -> None:
        match envelope.kind:
            case Arrival.CLOSED:
                self._gone(tx, envelope, now)
                return
            case Arrival.MOVED:
                tx.move_chat(envelope.messenger, envelope.chat, envelope.text)
                return
            case Arrival.OPENED | Arrival.UNREADABLE:
                return
            case _:
                pass
        owner = tx.whose(envelope.messenger, envelope.chat, envelope.sender)
        if owner is None or (envelope.direct and CODE.fullmatch(envelope.text)):
            self._stranger(tx, envelope, owner, now)
        elif owner.member is None:
            self._group(tx, envelope, owner, now)
        else:
            tx.heard_from(envelope.messenger, envelope.chat, now)
            for event in events_of(envelope, owner.member):
                self._decide(tx, owner.club, event, message_key(envelope), now)

    def _stranger(self, tx: Transaction, envelope: Envelope, owner: Owner | None, now: datetime) -> None:
        """A code lets in; anything else gets one neutral line, then silence."""
        if not envelope.direct or envelope.kind is not Arrival.TEXT or envelope.foreign:
            return
        code = CODE.fullmatch(envelope.text)
        guesses, first = tx.stranger(envelope.messenger, envelope.chat, guessed=code is not None)
        if code is not None and guesses <= MOST_GUESSES:
            joined = tx.use_invite(code_hash(code[1]), envelope.messenger, envelope.chat, envelope.sender, now)
            if joined is not None and joined.member is not None:
                self._joined(tx, joined.club, joined.member, envelope, now)
                return
        if first and owner is None:
            tx.answer_stranger(envelope.messenger, envelope.chat, phrase("talk.stranger"), now)

    def _joined(self, tx: Transaction, club: str, member: str, envelope: Envelope, now: datetime) -> None:
        store = tx.club(club)
        who = store.member(member)
        if who is not None:
            told = Say(ToCoaches(), (line("joined_coach", name=who.name, account=envelope.sender_name[:60]),))
            store.post((told,), message_key(envelope), now, member)
        self._decide(tx, club, Joined(member, envelope.language), message_key(envelope), now)
        if who is not None:
            replan(store, who, now)

    def _group(self, tx: Transaction, envelope: Envelope, owner: Owner, now: datetime) -> None:
        """The club chat answers its board when it is asked for by name; it never logs."""
        if envelope.kind is Arrival.TEXT and envelope.text.strip().casefold() in ("board", "/board"):
            store = tx.club(owner.club)
            store.post(group_said(store, now.date()).say, message_key(envelope), now)

    def _gone(self, tx: Transaction, envelope: Envelope, now: datetime) -> None:
        owner = tx.close_chat(envelope.messenger, envelope.chat)
        if owner is None or owner.member is None:
            return
        store = tx.club(owner.club)
        member = store.member(owner.member)
        if member is not None:
            told = Say(ToCoaches(), (line("gone", name=member.name),))
            store.post((told,), message_key(envelope), now, member.id)

    def _decide(self, tx: Transaction, club: str, event: Event, cause: str, now: datetime) -> None:
        """Decide, keep, say; days are planned anew where the outcome touches them."""
        store = tx.club(club)
        outcome = decide(store, event, now)
        store.apply(outcome.changes, event.member, cause, now)
        self._replan(store, outcome, now)
        store.post(outcome.say, cause, now, event.member)

    def _replan(self, store: Store, outcome: Outcome, now: datetime) -> None:
        touched = {change.member for change in outcome.changes if isinstance(change, RESCHEDULING)}
        for member in store.roster() if touched else ():
            if member.id in touched:
                replan(store, member, now)

    # --- the clock ---------------------------------------------------------------------------------------

    async def tick(self) -> int:
        """Decide what is due; how much that was."""
        now = self._clock.now()
        done = 0
        while rows := await self._database.run(lambda tx: self._due(tx, now)):
            done += rows
        return done

    def _due(self, tx: Transaction, now: datetime) -> int:
        """One claimed batch, all in one transaction: a kill before the commit leaves it owed."""
        rows = tx.claim_due(now, limit=20)
        for row in rows:
            savepoint = tx.savepoint()
            try:
                self._one_due(tx, row, now)
                savepoint.commit()
            except Exception as error:
                log.exception("what was due for %s on %s could not be decided", row.member, row.day)
                savepoint.rollback()
                tx.due_failed(row, repr(error), now + TRIED_AGAIN)
        self._posted(tx)
        return len(rows)

    def _one_due(self, tx: Transaction, row: DueRow, now: datetime) -> None:
        event = Due(row.member, DueKind(row.kind), date.fromisoformat(row.day))
        self._decide(tx, row.club, event, f"due {row.kind} {row.day}", now)

    async def plan_ahead(self) -> None:
        """The nightly job: every member's days ahead, a club at a time."""
        now = self._clock.now()

        def one(tx: Transaction, club: str) -> None:
            store = tx.club(club)
            for member in store.roster():
                replan(store, member, now)

        await self._database.run(lambda tx: tx.forget_handled(now - REPEATED_FOR))
        for club in await self._database.run(lambda tx: tuple(tx.clubs()), write=False):
            await self._database.run(lambda tx, club=club: one(tx, club))  # type: ignore[misc]


def events_of(envelope: Envelope, member: str) -> tuple[Event, ...]:
    """What an arrival means; a caption is a message of its own, for sets may stand there."""
    event = event_of(envelope, member)
    if event is None:
        return ()
    if isinstance(event, Attached) and envelope.text.strip():
        said = event_of(replace(envelope, kind=Arrival.TEXT), member)
        return (event,) if said is None else (said, event)
    return (event,)


def event_of(envelope: Envelope, member: str) -> Event | None:
    """What an arrival in a member's own chat means; None where nothing follows."""
    key = message_key(envelope)
    match envelope.kind:
        case Arrival.TEXT:
            order = (int(envelope.sent.timestamp() * 1000), f"{envelope.order:020d}")
            return Said(member, key, envelope.revision, order, envelope.text, envelope.sent, envelope.foreign)
        case Arrival.DELETED:
            return Withdrawn(member, key, envelope.revision)
        case Arrival.TAP:
            question, _, choice = envelope.text.rpartition(":")
            return Tapped(member, question, int(choice)) if choice.isdecimal() else None
        case Arrival.ATTACHMENT:
            kind, _, _ = (envelope.reference or "file:").partition(":")
            return Attached(member, key, kind, envelope.reference or "")
        case _:
            return None


def message_key(envelope: Envelope) -> str:
    """A message's key in the log: messenger, chat and id; none of them holds a space."""
    return f"{envelope.messenger} {envelope.chat} {envelope.message}"


def code_hash(code: str) -> str:
    """Only this is kept of an invite's code."""
    return sha256(code.encode()).hexdigest()
