"""Arrivals from a real server: nothing lost, nothing forged, in order."""

import asyncio
import json
from contextlib import AsyncExitStack

import pytest

from bot.messengers import Arrival
from tests.bot.messengers.matrix_talk import Inbox, invited, served, until
from tests.matrix_person import Person
from tests.synapse import Synapse

pytestmark = pytest.mark.xdist_group("synapse")


def test_an_invitation_is_accepted_and_what_is_said_arrives_in_order(synapse: Synapse) -> None:
    said = ["/start CODE", "5 5 4 at 7.5", "<b>a</b> & [x](y) *z*", "a\nb", "💪 漢字", "\u202eevil\u202c"]

    async def story() -> None:
        async with invited(synapse) as scene:
            ids = [await scene.ann.says(scene.chat, text) for text in said]
            await until(lambda: len(scene.inbox.texts) == len(said))
            opened, *texts = scene.inbox.envelopes
            assert (opened.kind, opened.chat, opened.sender) == (Arrival.OPENED, scene.chat, scene.ann.user)
            assert [one.text for one in texts] == said
            assert [one.message for one in texts] == ids
            assert {(one.chat, one.sender, one.direct, one.revision) for one in texts} == {
                (scene.chat, scene.ann.user, True, 0)
            }
            assert texts[0].sender_name == scene.ann.user[1:].partition(":")[0]
            assert [one.order for one in texts] == sorted(one.order for one in texts)

    asyncio.run(story())


def test_an_edit_is_a_later_revision_and_a_forged_one_is_dropped(synapse: Synapse) -> None:
    async def story() -> None:
        async with invited(synapse) as scene, Person.new(synapse, "eve") as eve:
            await scene.ann.invites(scene.chat, eve.user)
            await eve.joins(scene.chat)
            message = await scene.ann.says(scene.chat, "5 5 4")
            await eve.edits(scene.chat, message, "50 50 50")
            await scene.ann.edits(scene.chat, message, "5 5 5")
            await scene.ann.edits(scene.chat, message, "5 5 6")
            await eve.says(scene.chat, "that was me")
            await until(lambda: "that was me" in scene.inbox.texts)
            hers = [one for one in scene.inbox.kinds(Arrival.TEXT) if one.message == message]
            assert [one.text for one in hers] == ["5 5 4", "5 5 5", "5 5 6"]
            assert 0 == hers[0].revision < hers[1].revision < hers[2].revision
            assert len({(one.order, one.sent) for one in hers}) == 1
            assert not scene.inbox.envelopes[-1].direct

    asyncio.run(story())


def test_only_the_writer_takes_a_message_back(synapse: Synapse) -> None:
    async def story() -> None:
        async with invited(synapse) as scene, Person.new(synapse, "eve") as eve:
            await scene.ann.invites(scene.chat, eve.user)
            await eve.joins(scene.chat)
            hers, eves = await scene.ann.says(scene.chat, "5 5 4"), await eve.says(scene.chat, "6 6 6")
            await until(lambda: len(scene.inbox.texts) == 2)
            await scene.ann.redacts(scene.chat, eves)  # she may: the room is hers
            await scene.ann.redacts(scene.chat, hers)
            await until(lambda: scene.inbox.kinds(Arrival.DELETED))
            await scene.ann.says(scene.chat, "end")
            await until(lambda: "end" in scene.inbox.texts)
            gone = scene.inbox.kinds(Arrival.DELETED)
            assert [(one.message, one.sender) for one in gone] == [(hers, scene.ann.user)]

    asyncio.run(story())


def test_four_hundred_messages_missed_all_come_in_order(synapse: Synapse) -> None:
    """Four write at once, a hundred each, while we are away; one mends a message."""
    said = [str(number) for number in range(100)]

    async def says_all(writer: Person, chat: str) -> list[str]:
        return [await writer.says(chat, text) for text in said]

    async def story() -> None:
        async with invited(synapse) as scene, AsyncExitStack() as others:
            writers = [scene.ann]
            for name in ("ben", "cay", "dov"):
                writers.append(await others.enter_async_context(Person.new(synapse, name)))
                await scene.ann.invites(scene.chat, writers[-1].user)
                await writers[-1].joins(scene.chat)
            await scene.ann.says(scene.chat, "before")
            await until(lambda: scene.inbox.texts == ["before"])
            await scene.away()
            ids = await asyncio.gather(*(says_all(writer, scene.chat) for writer in writers))
            await scene.ann.edits(scene.chat, ids[0][7], "seven")
            later = Inbox()
            async with served(scene.account.messenger(), later, scene.inbox.cursor):
                await until(lambda: len(later.texts) >= 401)
            *once, edit = later.kinds(Arrival.TEXT)
            assert (edit.message, edit.text, edit.revision > 0) == (ids[0][7], "seven", True)
            assert [(one.order, one.message) for one in once] == sorted((one.order, one.message) for one in once)
            for writer, theirs in zip(writers, ids, strict=True):
                heard = [(one.message, one.text) for one in once if one.sender == writer.user]
                assert heard == list(zip(theirs, said, strict=True))

    asyncio.run(story())


def test_a_newcomer_to_a_group_is_not_told_its_past(synapse: Synapse) -> None:
    """Even where our entry itself lies in what we missed."""
    said = [f"new {number}" for number in range(110)]

    async def story() -> None:
        async with invited(synapse) as scene, Person.new(synapse, "ben") as ben:
            club = await ben.opens(scene.ann.user, name="Club")
            await scene.ann.joins(club)
            await scene.away()
            for number in range(10):
                await ben.says(club, f"old {number}")
            await ben.invites(club, scene.me)
            await scene.bot._account.call(lambda client: client.join(club))
            for text in said:
                await ben.says(club, text)
            later = Inbox()
            async with served(scene.account.messenger(), later, scene.inbox.cursor):
                await until(lambda: said[-1] in later.texts)
            assert later.texts == said
            assert [(one.chat, one.direct) for one in later.kinds(Arrival.OPENED)] == [(club, False)]

    asyncio.run(story())


def test_a_failing_store_is_offered_the_same_again_and_the_next_life_goes_on(synapse: Synapse) -> None:
    async def story() -> None:
        async with invited(synapse) as scene:
            scene.inbox.failures = 2
            await scene.ann.says(scene.chat, "1")
            await until(lambda: scene.inbox.texts == ["1"])
            device = json.loads(scene.inbox.cursor or "")["device"]
            await scene.away()
            await scene.ann.says(scene.chat, "2")
            later = Inbox()
            async with served(scene.account.messenger(), later, scene.inbox.cursor):
                await until(lambda: later.texts == ["2"])
            kept = scene.account.session.load()
            assert kept is not None
            assert kept.device == device

    asyncio.run(story())
