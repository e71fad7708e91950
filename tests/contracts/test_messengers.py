"""What every messenger promises, whatever its network."""

import asyncio
import base64
import time
from collections.abc import Awaitable, Callable

import pytest

from bot.messengers import Arrival, Batch, Envelope, PostEdit, PostPicture, PostReaction, PostText, Refused, Unavailable
from tests.contracts.messenger_rigs import RIGS, Rig

DOT = "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgABSK+kcQAAAABJRU5ErkJggg=="
PNG = base64.b64decode(DOT)  # one black pixel
ODD = ["<b>a</b> & [x](y) *z* _q_ `c`", "a\nb\n\nc", "💪 é ß 漢字", "\u202eevil\u202c", "5 × 7.5 kg, then 3 min"]
Story = Callable[[Rig], Awaitable[None]]


class Inbox:
    """An intake that keeps what it is given, or fails."""

    def __init__(self, failures: int = 0) -> None:
        self.batches: list[Batch] = []
        self.offered: list[Batch] = []
        self.failures = failures

    async def __call__(self, batch: Batch) -> None:
        self.offered.append(batch)
        if self.failures:
            self.failures -= 1
            raise OSError("disk full")
        self.batches.append(batch)

    @property
    def texts(self) -> list[Envelope]:
        kinds = (Arrival.TEXT,)
        return [one for batch in self.batches for one in batch.envelopes if one.kind in kinds]

    async def until(self, count: int) -> None:
        deadline = time.monotonic() + 10
        while len(self.texts) < count:
            assert time.monotonic() < deadline, f"{len(self.texts)} of {count} arrived"
            await asyncio.sleep(0.005)


def identity(envelope: Envelope) -> tuple[str, str, str, int, Arrival]:
    return envelope.messenger, envelope.chat, envelope.message, envelope.revision, envelope.kind


class Served:
    """A messenger at work, ended by cancelling."""

    def __init__(self, rig: Rig, inbox: Inbox, cursor: str | None = None) -> None:
        self.task = asyncio.create_task(rig.messenger.serve(cursor, inbox))

    async def __aenter__(self) -> "Served":
        return self

    async def __aexit__(self, *_: object) -> None:
        self.task.cancel()
        await asyncio.gather(self.task, return_exceptions=True)


ONE_WORKER = {"matrix": [pytest.mark.xdist_group("synapse")]}  # a server is started once


@pytest.fixture(params=[pytest.param(name, marks=ONE_WORKER.get(name, [])) for name in sorted(RIGS)])
def tell(request: pytest.FixtureRequest) -> Callable[[Story], None]:
    """Runs a story on each messenger's rig."""

    def run(story: Story) -> None:
        async def on_the_rig() -> None:
            async with RIGS[request.param](request) as rig:
                await story(rig)

        asyncio.run(on_the_rig())

    return run


def test_what_is_said_arrives_as_it_was_written_and_in_order(tell: Callable[[Story], None]) -> None:
    async def story(rig: Rig) -> None:
        inbox = Inbox()
        async with Served(rig, inbox):
            said = [await rig.says(text) for text in ODD]
            await inbox.until(len(ODD))
        assert [one.text for one in inbox.texts] == ODD
        assert [one.message for one in inbox.texts] == said
        assert {(one.chat, one.direct, one.foreign, one.revision) for one in inbox.texts} == {
            (rig.chat, True, False, 0)
        }
        orders = [one.order for one in inbox.texts]
        assert orders == sorted(orders)
        assert all(one.sent.tzinfo is not None and one.sender for one in inbox.texts)

    tell(story)


def test_what_is_not_stored_is_offered_again_as_the_same(tell: Callable[[Story], None]) -> None:
    async def story(rig: Rig) -> None:
        inbox = Inbox(failures=2)
        async with Served(rig, inbox):
            await rig.says("5 5 4")
            await inbox.until(1)
        offers = [[identity(one) for one in batch.envelopes if one.text == "5 5 4"] for batch in inbox.offered]
        assert len(offers) >= 3
        assert len({tuple(offer) for offer in offers if offer}) == 1

    tell(story)


def test_a_new_life_takes_up_at_the_stored_cursor(tell: Callable[[Story], None]) -> None:
    """Whatever was stored may come again with the same identity; what was not stored comes."""

    async def story(rig: Rig) -> None:
        first, second = Inbox(), Inbox()
        async with Served(rig, first):
            await rig.says("one")
            await first.until(1)
        await rig.says("two")
        await rig.messenger.close()
        rig.messenger = rig.again()
        async with Served(rig, second, first.batches[-1].cursor):
            await rig.says("three")
            known = {identity(one) for one in first.texts}
            deadline = time.monotonic() + 10
            while [one.text for one in second.texts if identity(one) not in known] != ["two", "three"]:
                assert time.monotonic() < deadline, [one.text for one in second.texts]
                await asyncio.sleep(0.005)

    tell(story)


def test_an_edit_is_a_later_revision_of_the_same_message(tell: Callable[[Story], None]) -> None:
    async def story(rig: Rig) -> None:
        inbox = Inbox()
        async with Served(rig, inbox):
            message = await rig.says("5 5 4")
            await inbox.until(1)
            await rig.edits(message, "5 5 5")
            await inbox.until(2)
            await rig.edits(message, "5 5 6")
            await inbox.until(3)
        assert {one.message for one in inbox.texts} == {message}
        assert [one.text for one in inbox.texts] == ["5 5 4", "5 5 5", "5 5 6"]
        revisions = [one.revision for one in inbox.texts]
        assert revisions[0] == 0
        assert revisions == sorted(set(revisions))

    tell(story)


@pytest.mark.parametrize("text", ODD)
def test_a_text_is_shown_as_it_was_written(tell: Callable[[Story], None], text: str) -> None:
    async def story(rig: Rig) -> None:
        assert await rig.messenger.post(PostText("p1", rig.chat, text))
        assert await rig.shown() == [text]

    tell(story)


def test_edits_and_reactions_may_be_repeated(tell: Callable[[Story], None]) -> None:
    async def story(rig: Rig) -> None:
        said = await rig.says("5 5 4")
        ours = await rig.messenger.post(PostText("p1", rig.chat, "one set"))
        for _ in range(2):
            if rig.messenger.can.edits:
                await rig.messenger.post(PostEdit("p2", rig.chat, ours, "two sets"))
                assert await rig.shown() == ["two sets"]
            if rig.messenger.can.reactions:
                await rig.messenger.post(PostReaction("p3", rig.chat, said))
                assert await rig.marked() == [said]

    tell(story)


def test_a_picture_comes_with_its_words(tell: Callable[[Story], None]) -> None:
    async def story(rig: Rig) -> None:
        if rig.messenger.can.pictures:
            assert await rig.messenger.post(PostPicture("p1", rig.chat, PNG, "5 kg and 2.5 kg"))
            assert "5 kg and 2.5 kg" in await rig.shown()

    tell(story)


def test_a_lost_answer_is_uncertain_or_safely_repeated(tell: Callable[[Story], None]) -> None:
    async def story(rig: Rig) -> None:
        rig.cut()
        posting = PostText("p1", rig.chat, "one set")
        with pytest.raises(Unavailable) as caught:
            await rig.messenger.post(posting)
        assert caught.value.sent == "unknown"
        if rig.messenger.can.repeats_safely:
            await rig.messenger.post(posting)
        assert await rig.shown() == ["one set"]

    tell(story)


def test_without_a_network_nothing_was_sent(tell: Callable[[Story], None]) -> None:
    async def story(rig: Rig) -> None:
        alone = rig.unreachable()
        with pytest.raises(Unavailable) as caught:
            await alone.post(PostText("p1", rig.chat, "x"))
        assert caught.value.sent == "no"
        await alone.close()

    tell(story)


def test_a_closed_chat_refuses_and_is_told(tell: Callable[[Story], None]) -> None:
    async def story(rig: Rig) -> None:
        inbox = Inbox()
        await rig.closes()
        with pytest.raises(Refused) as caught:
            await rig.messenger.post(PostText("p1", rig.chat, "x"))
        assert caught.value.closed
        async with Served(rig, inbox):
            deadline = time.monotonic() + 10
            while not any(one.kind is Arrival.CLOSED for batch in inbox.batches for one in batch.envelopes):
                assert time.monotonic() < deadline
                await asyncio.sleep(0.005)

    tell(story)


def test_who_reads_a_chat_is_known(tell: Callable[[Story], None]) -> None:
    async def story(rig: Rig) -> None:
        assert await rig.messenger.direct(rig.chat)
        assert not await rig.messenger.direct(rig.group)

    tell(story)


def test_service_ends_soon_and_closing_twice_is_harmless(tell: Callable[[Story], None]) -> None:
    async def story(rig: Rig) -> None:
        inbox = Inbox()
        async with Served(rig, inbox):
            await rig.says("x")
            await inbox.until(1)
            start = time.monotonic()
        await rig.messenger.close()
        await rig.messenger.close()
        assert time.monotonic() - start < 2

    tell(story)
