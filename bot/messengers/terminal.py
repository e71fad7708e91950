"""A terminal as a messenger: lines in, lines out, numbered choices for buttons."""

import asyncio
from collections.abc import Callable
from datetime import datetime

from bot.messengers import (
    Arrival,
    Batch,
    Can,
    Envelope,
    Intake,
    PostEdit,
    Posting,
    PostPicture,
    PostText,
)


class Terminal:
    """`show(chat, text)` prints one message of ours; `typed` takes one of theirs."""

    name = "terminal"
    can = Can()

    def __init__(self, show: Callable[[str, str], None]) -> None:
        self._show = show
        self._count = 0

    async def serve(self, cursor: str | None, intake: Intake) -> None:
        """Lines come by `typed`; this only holds the door open."""
        self._count = int(cursor or 0)
        await asyncio.Event().wait()

    async def typed(self, chat: str, text: str, sent: datetime, intake: Intake, direct: bool = True) -> None:
        """One line of theirs, taken in before this returns."""
        self._count += 1
        envelope = Envelope(
            messenger=self.name,
            chat=chat,
            message=str(self._count),
            kind=Arrival.TEXT,
            sent=sent,
            text=text,
            order=self._count,
            sender=chat,
            direct=direct,
        )
        await intake(Batch(self.name, (envelope,), str(self._count)))

    async def post(self, posting: Posting) -> str:
        match posting:
            case PostText() | PostEdit() | PostPicture():
                self._show(posting.chat, posting.text)
                return posting.posting
            case _:
                return ""

    async def link(self, code: str) -> str:
        return code

    async def direct(self, chat: str) -> bool:
        return True

    async def close(self) -> None:
        return None
