"""An outbox in memory that keeps its rows over the lives of a delivery: what the store's must do, in plain lists."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

from bot.delivery import Chat
from bot.outbox import Anew, Close, Later, Move, Sent, Turn, Verb, Verdict, Waiting, Words, stale
from core.speech import Lane


@dataclass
class Row:
    waiting: Waiting
    not_before: datetime | None = None
    retry_at: datetime | None = None
    state: str = "waiting"
    at: datetime | None = None

    def due(self, now: datetime) -> bool:
        return self.state == "waiting" and (self.not_before is None or self.not_before <= now)


@dataclass
class MemoryOutbox:
    """`forbidden`: ids that may no longer be sent. `failures`: turns that raise, as a database does."""

    rows: list[Row] = field(default_factory=list)
    forbidden: set[str] = field(default_factory=set)
    failures: int = 0
    turns: int = 0
    told: list[str] = field(default_factory=list)

    def post(self, chat: int | str, text: str, **more: object) -> Row:
        own = {"not_before": more.pop("not_before", None)}
        number = str(len(self.rows) + 1)
        waiting = Waiting(number, "telegram", str(chat), words=Words(text))
        row = Row(replace(waiting, **more), **own)  # type: ignore[arg-type]
        self.rows.append(row)
        return row

    async def recent(self, now: datetime) -> Sequence[tuple[Chat, datetime]]:
        begun = [((row.waiting.messenger, row.waiting.chat), now) for row in self.rows if row.waiting.begun]
        return begun + [
            ((row.waiting.messenger, row.waiting.chat), row.at)
            for row in self.rows
            if row.at is not None and row.at >= now - timedelta(minutes=1)
        ]

    async def turn(
        self, ended: Sequence[tuple[Waiting, Verdict]], now: datetime, room: Mapping[str, int], busy: Collection[Chat]
    ) -> Turn:
        self.turns += 1
        if self.failures:
            self.failures -= 1
            raise OSError("disk full")
        for waiting, verdict in ended:
            self._write(next(row for row in self.rows if row.waiting.id == waiting.id), verdict, now)
        left = dict(room)
        for row in self.rows:
            if row.due(now) and (row.waiting.id in self.forbidden or stale(row.waiting, now)):
                row.state = "dropped"
        taken = [row for row in self._heads(now, busy) if self._take(row, left)]
        due = [row for row in self.rows if row.due(now)]
        times = [
            at
            for row in self.rows
            for at in (row.not_before, row.retry_at)
            if row.state == "waiting" and at and at > now
        ]
        held = {row.waiting.chat for row in due if row.retry_at is not None and row.retry_at > now}
        more = any(row not in taken and row.waiting.chat not in held for row in due)
        return Turn(tuple(row.waiting for row in taken), more, min(times, default=None))

    def _heads(self, now: datetime, busy: Collection[Chat]) -> list[Row]:
        heads: dict[str, Row] = {}
        urgent: set[str] = set()
        for row in self.rows:
            if row.due(now):
                heads.setdefault(row.waiting.chat, row)
                if row.waiting.lane is Lane.REPLY:
                    urgent.add(row.waiting.chat)
        free = [
            row for chat, row in heads.items()
            if (row.waiting.messenger, chat) not in busy and (row.retry_at is None or row.retry_at <= now)
        ]  # fmt: skip
        return sorted(free, key=lambda row: row.waiting.chat not in urgent)

    def _take(self, row: Row, left: dict[str, int]) -> bool:
        if left.get(row.waiting.messenger, 0) <= 0:
            return False
        left[row.waiting.messenger] -= 1
        row.waiting = replace(
            row.waiting, begun=True, again=row.waiting.again or (row.waiting.begun and row.waiting.prescribes)
        )
        return True

    def _write(self, row: Row, verdict: Verdict, now: datetime) -> None:
        row.at, row.waiting = now, replace(row.waiting, begun=False)
        match verdict:
            case Sent(remote=remote):
                row.state = f"sent {remote}".strip()
            case Later(at=at, again=again):
                row.retry_at = at
                row.waiting = replace(row.waiting, tries=row.waiting.tries + 1, again=again)
            case Move(to=to):
                for one in [
                    one for one in self.rows if one.waiting.chat == row.waiting.chat and one.state == "waiting"
                ]:
                    one.waiting = replace(one.waiting, chat=to)
            case Anew():
                row.waiting = replace(row.waiting, verb=Verb.MESSAGE, target=None)
            case Close(why=why):
                for one in [
                    one for one in self.rows if one.waiting.chat == row.waiting.chat and one.state == "waiting"
                ]:
                    one.state = "closed"
                self.told.append(why)
            case _:
                row.state = type(verdict).__name__.casefold()
