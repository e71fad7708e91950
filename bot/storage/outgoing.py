"""The outbox as delivery needs it: one turn is one transaction that writes down ends and begins new tries."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any, assert_never

import sqlalchemy as sa

from bot.messengers import PostButton
from bot.outbox import (
    Anew,
    Close,
    Drop,
    Later,
    Move,
    Refuse,
    Sent,
    Turn,
    Uncertain,
    Verb,
    Verdict,
    Waiting,
    Words,
    stale,
)
from bot.storage import tables
from bot.storage.database import Database
from bot.storage.posting import chats
from bot.storage.prepared import change, change_each, found
from bot.storage.transaction import Transaction
from bot.storage.values import button_from_json, instant, ms, phrase_from_json
from core.phrases import Phrase, phrase
from core.speech import Button, Lane
from core.training import Athlete
from core.units import Unit

OUTBOX = tables.metadata.tables["outbox"]
REMEMBERED = timedelta(minutes=1)
LOOKED_AT = 500  # rows a turn looks through for chats that are free

HEAVY = ("lines", "buttons", "picture", "words")  # read for those rows only that are taken
_NOW: sa.BindParameter[int] = sa.bindparam("now", type_=sa.BigInteger)
_CANDIDATES = (
    sa.select(*(column for column in OUTBOX.c if column.name not in HEAVY))
    .where(OUTBOX.c.state.in_(("waiting", "begun")), sa.or_(OUTBOX.c.due_ms <= _NOW, OUTBOX.c.tries > 0))
    .where(OUTBOX.c.messenger.in_(sa.bindparam("messengers", expanding=True)))
    .order_by(sa.case((OUTBOX.c.lane == Lane.REPLY.value, 0), else_=1), OUTBOX.c.id)
    .limit(sa.bindparam("most", type_=sa.Integer))
    .with_for_update()  # a card that is being written anew is waited for: passed over, later rows would overtake it
)
_SOONEST = sa.select(sa.func.min(OUTBOX.c.due_ms)).where(OUTBOX.c.state == "waiting", OUTBOX.c.due_ms > _NOW)

Say = Callable[[str, Sequence[Phrase], Sequence[Button], str, Unit, bool], Words]
"""(messenger, lines, buttons, language, unit, again) -> what is sent there."""


class StoredOutbox:
    """Implements `bot.delivery.Outbox` on a database. `say` puts phrases into words, at the first try only.

    `edits`: the messengers that can edit; elsewhere a card's new words are a message, or nothing where it is silent.
    """

    def __init__(self, database: Database, say: Say, edits: Collection[str]) -> None:
        self._database, self._say, self._edits = database, say, frozenset(edits)

    async def turn(
        self,
        ended: Sequence[tuple[Waiting, Verdict]],
        now: datetime,
        room: Mapping[str, int],
        busy: Collection[tuple[str, str]],
    ) -> Turn:
        def work(tx: Transaction) -> Turn:
            sent = [(row, verdict) for row, verdict in ended if isinstance(verdict, Sent)]
            change_each(tx.connection, "outbox", [_sent(row, verdict, now) for row, verdict in sent])
            for row, verdict in ended:
                if not isinstance(verdict, Sent):
                    _end(tx, row, verdict, now)
            return self._begin(tx, now, dict(room), set(busy))

        return await self._database.run(work)

    async def recent(self, now: datetime) -> Sequence[tuple[tuple[str, str], datetime]]:
        """Calls of the last minute; one that was begun and whose end is not known may have ended just now."""

        def work(tx: Transaction) -> Sequence[tuple[tuple[str, str], datetime]]:
            begun = OUTBOX.c.state == "begun"
            rows = tx.connection.execute(
                sa.select(OUTBOX.c.messenger, OUTBOX.c.chat, OUTBOX.c.state, OUTBOX.c.ended_ms).where(
                    sa.or_(begun, OUTBOX.c.ended_ms > ms(now - REMEMBERED))
                )
            )
            return [((row.messenger, row.chat), now if row.state == "begun" else instant(row.ended_ms)) for row in rows]

        return await self._database.run(work, write=False)

    def _begin(self, tx: Transaction, now: datetime, room: dict[str, int], busy: set[tuple[str, str]]) -> Turn:
        """Rows that are due, the oldest of each free chat, replies before broadcasts."""
        taken: list[Waiting] = []
        begun_rows: list[tuple[dict[str, Any], dict[str, Any]]] = []
        more = False
        held: set[tuple[str, str]] = set()  # chats whose oldest row waits for its next try: nothing overtakes it
        for row in _candidates(tx, now, tuple(name for name, count in room.items() if count > 0)):
            chat = (row.messenger, row.chat)
            if row.due_ms > ms(now):
                held.add(chat)
            if chat in held:
                continue
            if chat in busy or room.get(row.messenger, 0) <= 0:
                more = True
                continue
            begun = self._take(tx, row, now)
            if begun is not None:
                busy.add(chat)  # later rows of its chat wait for it
                taken.append(begun)
                begun_rows.append(({"id": row.id}, _begun(begun)))
                room[row.messenger] -= 1
        change_each(tx.connection, "outbox", begun_rows)
        return Turn(tuple(taken), more, None if taken or more else _next_due(tx, now))

    def _take(self, tx: Transaction, row: Any, now: datetime) -> Waiting | None:
        """Begin one row, its words frozen; None where it is dropped instead."""
        waiting = self._as_waiting(tx, row)
        if waiting.begun and waiting.prescribes and not waiting.again:
            waiting = replace(waiting, again=True, words=None)
        why = self._worthless(tx, row, waiting, now)
        if why is not None:
            _close_row(tx, row.id, "dropped", why, now)
            return None
        if waiting.words is None and waiting.verb in (Verb.MESSAGE, Verb.EDIT):
            waiting = replace(waiting, words=self._words(tx, row, waiting.again))
        return waiting

    def _as_waiting(self, tx: Transaction, row: Any) -> Waiting:
        verb, target = Verb(row.verb), row.target
        heavy = found(tx.connection, "outbox", {"id": row.id}, columns=("words", "picture")).one()
        if verb is Verb.EDIT:
            target = _card(tx, row) if row.messenger in self._edits else None
            verb = Verb.MESSAGE if target is None else Verb.EDIT
        return Waiting(
            id=str(row.id),
            messenger=row.messenger,
            chat=row.chat,
            verb=verb,
            target=target,
            lane=Lane(row.lane),
            silent=row.silent,
            thread=row.thread,
            prescribes=row.prescribes,
            worthless_after=None if row.worthless_ms is None else instant(row.worthless_ms),
            tries=row.tries,
            begun=row.state == "begun",
            again=row.again,
            words=None if heavy.words is None else _words_from_json(heavy.words),
            picture=heavy.picture,
            personal=row.member_id is not None,
        )

    def _worthless(self, tx: Transaction, row: Any, waiting: Waiting, now: datetime) -> str | None:
        """Why a row is not sent after all: too late, or its chat or member is not ours any more."""
        if stale(waiting, now):
            return "too late"
        if row.cause == "stranger":
            return None
        seated = (row.messenger, row.chat) in chats(tx.connection, row.club_id, row.member_id)
        return None if seated else "the chat is closed, or not this member's any more"

    def _words(self, tx: Transaction, row: Any, again: bool) -> Words:
        language, unit = _ears(tx, row)
        content = found(tx.connection, "outbox", {"id": row.id}, columns=("lines", "buttons")).one()
        lines = [phrase_from_json(one) for one in content.lines]
        buttons = [button_from_json(one) for one in content.buttons]
        said = [one for one in lines if isinstance(one, Phrase)]
        return self._say(row.messenger, said, buttons, language, unit, again)


def _candidates(tx: Transaction, now: datetime, messengers: tuple[str, ...]) -> list[Any]:
    """Due rows and those that wait for another try: of chats with a reply first, and within a chat as written."""
    if not messengers:
        return []
    rows = list(tx.connection.execute(_CANDIDATES, {"now": ms(now), "messengers": messengers, "most": LOOKED_AT}))
    place: dict[tuple[str, str], int] = {}
    for row in rows:
        place.setdefault((row.messenger, row.chat), len(place))
    return sorted(rows, key=lambda row: (place[row.messenger, row.chat], row.id))


def _next_due(tx: Transaction, now: datetime) -> datetime | None:
    soonest = tx.connection.execute(_SOONEST, {"now": ms(now)}).scalar()
    return None if soonest is None else instant(soonest)


def _card(tx: Transaction, row: Any) -> str | None:
    """The network's id of the card that this row edits."""
    card = {name: getattr(row, name) for name in ("club_id", "messenger", "chat", "slot")}
    sent = found(tx.connection, "outbox", card | {"verb": "message", "state": "sent"}, ("id",), ("remote",))
    remotes = [one.remote for one in sent]
    return str(remotes[-1]) if remotes and remotes[-1] else None


def _ears(tx: Transaction, row: Any) -> tuple[str, Unit]:
    """The language and unit of whoever hears it; a group hears English and kilograms."""
    if row.member_id is None:
        return "en", Unit.KG
    who = {"club_id": row.club_id, "id": row.member_id}
    athlete = Athlete.from_json(found(tx.connection, "membership", who, columns=("profile",)).scalar_one())
    return athlete.language, athlete.unit


def _end(tx: Transaction, row: Waiting, verdict: Verdict, now: datetime) -> None:
    """Write down how a try ended that did not succeed."""
    number = int(row.id)
    match verdict:
        case Later(at=at, again=again, why=why):
            later = {"state": "waiting", "due_ms": ms(at), "again": again, "tries": row.tries + 1, "why": why[:200]}
            words = {"words": sa.null()} if again and not row.again else {}
            tx.connection.execute(OUTBOX.update().where(OUTBOX.c.id == number).values(**later, **words))
        case Uncertain(why=why):
            _close_row(tx, number, "uncertain", why, now)
        case Refuse(why=why):
            _close_row(tx, number, "refused", why, now)
        case Drop(why=why):
            _close_row(tx, number, "dropped", why, now)
        case Anew(why=why):
            anew = {"state": "waiting", "verb": "message", "target": None, "tries": row.tries + 1, "why": why[:200]}
            tx.connection.execute(OUTBOX.update().where(OUTBOX.c.id == number).values(anew))
        case Move(to=to):
            tx.move_chat(row.messenger, row.chat, to)
            tx.connection.execute(OUTBOX.update().where(OUTBOX.c.id == number).values(state="waiting", chat=to))
        case Close(why=why):
            _close_chat(tx, row, why, now)
        case Sent():
            change_each(tx.connection, "outbox", [_sent(row, verdict, now)])
        case _:
            assert_never(verdict)


def _close_row(tx: Transaction, number: int, state: str, why: str, now: datetime) -> None:
    ended = {"state": state, "why": why[:200], "ended_ms": ms(now)}
    change(tx.connection, "outbox", {"id": number}, ended)


def _close_chat(tx: Transaction, row: Waiting, why: str, now: datetime) -> None:
    """Nobody hears us there any more: nothing else goes there, and the coaches are told."""
    owner = tx.close_chat(row.messenger, row.chat)
    waits = (OUTBOX.c.messenger == row.messenger) & (OUTBOX.c.chat == row.chat)
    waits &= OUTBOX.c.state.in_(("waiting", "begun"))
    ended = {"state": "refused", "why": why[:200], "ended_ms": ms(now)}
    tx.connection.execute(OUTBOX.update().where(waits).values(ended))
    if owner is None or owner.member is None:
        return
    from core.speech import Say as Speech
    from core.speech import ToCoaches

    store = tx.club(owner.club)
    member = store.member(owner.member)
    name = owner.member if member is None else member.name
    store.post([Speech(ToCoaches(), (phrase("talk.gone", name=name),))], "delivery", now, owner.member)


def _sent(row: Waiting, verdict: Sent, now: datetime) -> tuple[dict[str, Any], dict[str, Any]]:
    return {"id": int(row.id)}, {"state": "sent", "remote": verdict.remote, "ended_ms": ms(now)}


def _begun(row: Waiting) -> dict[str, Any]:
    frozen = None if row.words is None else _words_to_json(row.words)
    return {"state": "begun", "verb": row.verb.value, "target": row.target, "again": row.again, "words": frozen}


def _words_to_json(words: Words) -> dict[str, Any]:
    return {"text": words.text, "buttons": [[one.label, one.token] for one in words.buttons]}


def _words_from_json(data: dict[str, Any]) -> Words:
    return Words(data["text"], tuple(PostButton(*one) for one in data["buttons"]))
