"""What the messengers' contract needs of each: a real network on loopback, and a person and a group on it.

A new messenger adds a rig here and one line in RIGS.
"""

from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from typing import Protocol

import pytest

from bot.messengers import Messenger
from bot.messengers import matrix as matrix_side
from bot.messengers.matrix import Matrix
from bot.messengers.matrix_session import MemorySession
from bot.messengers.telegram import Rhythm, Telegram
from tests.cutting_proxy import CuttingProxy
from tests.matrix_person import PASSWORD, Person
from tests.telegram_double import TelegramDouble
from tests.telegram_rules import Pace


class Rig(Protocol):
    """One messenger with its network; `chat` is a person's own chat, `group` one with several readers."""

    messenger: Messenger
    chat: str
    group: str

    def again(self) -> Messenger:
        """A messenger as a new process would make it, on the same network."""

    def unreachable(self) -> Messenger:
        """The same messenger with no network behind it."""

    async def says(self, text: str) -> str:
        """The person writes; the message's id."""

    async def edits(self, message: str, text: str) -> None:
        """The person changes their message."""

    async def shown(self) -> list[str]:
        """What the person's chat shows of ours, in order, as it reads now."""

    async def marked(self) -> list[str]:
        """The messages that carry our reaction."""

    def cut(self) -> None:
        """The network does the next posting, and its answer is lost."""

    async def closes(self) -> None:
        """The person wants to hear no more of us."""


class TelegramRig:
    """The real client against the double."""

    chat, group = "4211", "-555"

    def __init__(self, double: TelegramDouble) -> None:
        self.double = double
        double.known |= {self.chat, self.group}
        self.messenger: Messenger = self.again()
        self._said: dict[str, dict[str, object]] = {}

    def again(self) -> Messenger:
        return Telegram("1:TEST", self.double.url, rhythm=Rhythm(2, 0.01, 0.5, 0.0))

    def unreachable(self) -> Messenger:
        return Telegram("1:TEST", "http://127.0.0.1:9", rhythm=Rhythm(2, 0.01, 0.5, 0.0))

    async def says(self, text: str) -> str:
        message = self.double.says(int(self.chat), text)
        self._said[str(message["message_id"])] = message
        return str(message["message_id"])

    async def edits(self, message: str, text: str) -> None:
        self._said[message] = self.double.edits(self._said[message], text)

    async def shown(self) -> list[str]:
        mine = [one for (chat, _), one in self.double.messages.items() if chat == self.chat and one["from"]["id"] == 1]
        return [one.get("text") or one.get("caption", "") for one in mine]

    async def marked(self) -> list[str]:
        return sorted({str(one.message) for one in self.double.sent if one.method == "setMessageReaction"})

    def cut(self) -> None:
        self.double.cut("sendMessage")

    async def closes(self) -> None:
        self.double.blocks(int(self.chat))


@asynccontextmanager
async def telegram_rig(request: pytest.FixtureRequest) -> AsyncIterator[Rig]:
    async with TelegramDouble(pace=Pace(None, None, None)) as double:
        rig = TelegramRig(double)
        try:
            yield rig
        finally:
            await rig.messenger.close()


class MatrixRig:
    """The real client, through a proxy that can swallow an answer, against a real server."""

    def __init__(self, proxy: CuttingProxy, bot: Person, person: Person, chat: str, group: str) -> None:
        self.proxy, self.bot, self.person, self.chat, self.group = proxy, bot, person, chat, group
        self.session = MemorySession()
        self.messenger: Messenger = self.again()

    def again(self) -> Messenger:
        return self._on(self.proxy.url)

    def unreachable(self) -> Messenger:
        return self._on("http://127.0.0.1:9")

    def _on(self, url: str) -> Messenger:
        rhythm = matrix_side.Rhythm(2.0, 0.01, 3.0, 0.0)
        return Matrix(url, self.bot.user, PASSWORD, self.session, rhythm=rhythm)

    async def says(self, text: str) -> str:
        return await self.person.says(self.chat, text)

    async def edits(self, message: str, text: str) -> None:
        await self.person.edits(self.chat, message, text)

    async def shown(self) -> list[str]:
        return await self.person.reads(self.chat, self.bot.user)

    async def marked(self) -> list[str]:
        events = await self.person.sees(self.chat)
        marks = [one for one in events if one["type"] == "m.reaction" and one["sender"] == self.bot.user]
        return sorted({one["content"]["m.relates_to"]["event_id"] for one in marks})

    def cut(self) -> None:
        self.proxy.cut(b"/send/m.room.message/")

    async def closes(self) -> None:
        await self.person.removes(self.chat, self.bot.user)


@asynccontextmanager
async def matrix_rig(request: pytest.FixtureRequest) -> AsyncIterator[Rig]:
    server = request.getfixturevalue("synapse")
    async with (
        CuttingProxy(server.port) as proxy,
        Person.new(server, "plimsoll") as bot,
        Person.new(server, "ann") as ann,
        Person.new(server, "ben") as ben,
    ):
        chat, group = await ann.opens(bot.user), await ben.opens(bot.user, ann.user)
        for room in (chat, group):
            await bot.joins(room)
        rig = MatrixRig(proxy, bot, ann, chat, group)
        try:
            yield rig
        finally:
            await rig.messenger.close()


RIGS: dict[str, Callable[[pytest.FixtureRequest], AbstractAsyncContextManager[Rig]]] = {
    "matrix": matrix_rig,
    "telegram": telegram_rig,
}
