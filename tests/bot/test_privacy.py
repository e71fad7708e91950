"""Nothing personal goes where somebody else reads by now; a group's board goes to the group."""

import asyncio
from datetime import UTC, datetime

import pytest

from bot.delivery import Delivery, Way
from bot.messengers import Can, Intake, Posting, PostText
from bot.outbox import Words
from tests.bot.outbox_in_memory import MemoryOutbox


class Room:
    """A messenger with one chat that `readers` people read."""

    name = "telegram"
    can = Can()

    def __init__(self, readers: int) -> None:
        self._readers = readers
        self.posted: list[str] = []

    async def serve(self, cursor: str | None, intake: Intake) -> None:
        await asyncio.Event().wait()

    async def post(self, posting: Posting) -> str:
        assert isinstance(posting, PostText)
        self.posted.append(posting.text)
        return "1"

    async def link(self, code: str) -> str:
        return code

    async def direct(self, chat: str) -> bool:
        return self._readers == 1

    async def close(self) -> None:
        return None


@pytest.mark.parametrize(
    ("readers", "personal", "goes"), [(1, True, True), (2, True, False), (2, False, True), (1, False, True)]
)
def test_a_member_added_between_writing_and_sending(readers: int, personal: bool, goes: bool) -> None:
    async def story() -> tuple[Room, MemoryOutbox]:
        room, book = Room(readers), MemoryOutbox()
        book.post(7, "5 5 4 with 7.5 kg", personal=personal, words=Words("5 5 4 with 7.5 kg"))
        await Delivery(book, [Way(room)], lambda: datetime.now(UTC)).flush()
        return room, book

    room, book = asyncio.run(story())
    assert room.posted == (["5 5 4 with 7.5 kg"] if goes else [])
    assert book.rows[0].state.startswith("sent") is goes
    assert book.rows[0].state != "waiting"
