"""Postings on a real server, read back as another client shows them."""

import asyncio
import base64

import aiohttp
import pytest

from bot.messengers import PostEdit, PostPicture, PostPin, PostReaction, PostText, Refused
from tests.bot.messengers.matrix_talk import invited, until
from tests.matrix_person import Person, Wire
from tests.synapse import Synapse

pytestmark = pytest.mark.xdist_group("synapse")

PNG = base64.b64decode(  # two pixels wide, three high
    "iVBORw0KGgoAAAANSUhEUgAAAAIAAAADCAAAAACcgYFdAAAAC0lEQVR4nGNggAIAAAkAAftSuKkAAAAASUVORK5CYII="
)


async def said_by(person: Person, chat: str, user: str, kind: str = "m.room.message") -> list[Wire]:
    return [one["content"] for one in await person.sees(chat) if one["sender"] == user and one["type"] == kind]


def test_every_verb_arrives_as_what_it_is(synapse: Synapse) -> None:
    async def story() -> None:
        async with invited(synapse) as scene:
            chat, ann, me, post = scene.chat, scene.ann, scene.me, scene.bot.post
            hers = await ann.says(chat, "5 5 4")
            assert await scene.bot.direct(chat)
            loud = await post(PostText("1", chat, "Noted: <b>5 5 4</b> & @room"))
            await post(PostText("2", chat, "quietly", silent=True))
            assert await post(PostEdit("3", chat, loud, "Noted 💪")) == ""
            assert await post(PostReaction("4", chat, hers)) == ""
            await post(PostText("5", chat, "in a thread", thread=hers))
            rung, quiet, edited, threaded = await said_by(ann, chat, me)
            assert (rung["msgtype"], rung["m.mentions"]) == ("m.text", {"user_ids": [ann.user]})
            assert (quiet["msgtype"], quiet["m.mentions"]) == ("m.notice", {})
            assert "formatted_body" not in rung
            assert edited["body"] == "* Noted 💪"
            assert edited["m.new_content"]["body"] == "Noted 💪"
            assert edited["m.relates_to"] == {"rel_type": "m.replace", "event_id": loud}
            assert threaded["m.relates_to"]["rel_type"] == "m.thread"
            assert threaded["m.relates_to"]["event_id"] == hers
            assert [one["m.relates_to"] for one in await said_by(ann, chat, me, "m.reaction")] == [
                {"rel_type": "m.annotation", "event_id": hers, "key": "✅"}
            ]
            assert scene.inbox.texts in ([], ["5 5 4"])  # nothing of ours comes back to us

    asyncio.run(story())


def test_a_picture_is_one_that_can_be_fetched_and_its_words_can_be_edited(synapse: Synapse) -> None:
    async def story() -> None:
        async with invited(synapse) as scene:
            shown = await scene.bot.post(PostPicture("1", scene.chat, PNG, "2 × 5 kg"))
            await scene.bot.post(PostEdit("2", scene.chat, shown, "2 × 5 kg, hung"))
            picture, edited = await said_by(scene.ann, scene.chat, scene.me)
            assert (picture["msgtype"], picture["body"], picture["filename"]) == ("m.image", "2 × 5 kg", "plimsoll.png")
            assert picture["info"] == {"mimetype": "image/png", "size": len(PNG), "w": 2, "h": 3}
            assert (edited["m.new_content"]["msgtype"], edited["m.new_content"]["url"]) == ("m.image", picture["url"])
            assert edited["m.new_content"]["body"] == "2 × 5 kg, hung"
            path = "/_matrix/client/v1/media/download/" + picture["url"].removeprefix("mxc://")
            async with aiohttp.ClientSession(headers=scene.ann._head) as http, http.get(synapse.url + path) as answer:
                assert await answer.read() == PNG

    asyncio.run(story())


def test_what_is_posted_twice_arrives_once_even_under_a_new_token(synapse: Synapse) -> None:
    async def story() -> None:
        async with invited(synapse) as scene:
            hers = await scene.ann.says(scene.chat, "5")
            postings = [
                PostText("1", scene.chat, "one"),
                PostPicture("2", scene.chat, PNG, "two"),
                PostReaction("3", scene.chat, hers),
            ]
            first = [await scene.bot.post(one) for one in postings]
            assert [await scene.bot.post(one) for one in postings[:2]] == first[:2]
            await scene.bot.post(PostReaction("another", scene.chat, hers))  # a duplicate to the server, fine to us
            await scene.bot._account.call(lambda client: client.logout())
            assert [await scene.bot.post(one) for one in postings[:2]] == first[:2]
            assert await scene.ann.reads(scene.chat, scene.me) == ["one", "two"]
            assert len(await said_by(scene.ann, scene.chat, scene.me, "m.reaction")) == 1

    asyncio.run(story())


def test_other_words_under_a_known_id_are_not_swallowed(synapse: Synapse) -> None:
    """The server would drop them in silence; a restored database counts its rows from an earlier number."""

    async def story() -> None:
        async with invited(synapse) as scene:
            ours = await scene.bot.post(PostText("1", scene.chat, "before"))
            await scene.bot.post(PostText("1", scene.chat, "after the restore"))
            for words in ("once", "twice", "twice"):
                await scene.bot.post(PostEdit("2", scene.chat, ours, words))
            assert await scene.ann.reads(scene.chat, scene.me) == ["twice", "after the restore"]
            assert len(await said_by(scene.ann, scene.chat, scene.me)) == 4

    asyncio.run(story())


def test_a_long_text_goes_in_pieces_each_once(synapse: Synapse) -> None:
    long = "\n".join(f"line {number:04d} \x01\u0002" for number in range(1000))

    async def story() -> None:
        async with invited(synapse) as scene:
            for _ in range(2):
                await scene.bot.post(PostText("1", scene.chat, long))
            assert "\n".join(await scene.ann.reads(scene.chat, scene.me)) == long
            ours = await scene.bot.post(PostText("2", scene.chat, "x"))
            await scene.bot.post(PostEdit("3", scene.chat, ours, '"\\' * 2500))  # all of it escaped, and twice
            with pytest.raises(Refused, match="must fit"):
                await scene.bot.post(PostEdit("4", scene.chat, ours, long))

    asyncio.run(story())


def test_a_pin_is_added_to_those_there_and_needs_the_room_s_leave(synapse: Synapse) -> None:
    async def story() -> None:
        async with invited(synapse) as scene:
            ours = await scene.bot.post(PostText("1", scene.chat, "board"))
            with pytest.raises(Refused) as caught:
                await scene.bot.post(PostPin("2", scene.chat, ours))
            assert not caught.value.closed
            rights = await scene.ann.ask("GET", "rooms", scene.chat, "state", "m.room.power_levels")
            rights["users"][scene.me] = 50
            await scene.ann.ask("PUT", "rooms", scene.chat, "state", "m.room.power_levels", body=rights)
            hers = {"pinned": ["$hers"]}
            await scene.ann.ask("PUT", "rooms", scene.chat, "state", "m.room.pinned_events", body=hers)
            for _ in range(2):
                await scene.bot.post(PostPin("2", scene.chat, ours))
            pinned = await scene.ann.ask("GET", "rooms", scene.chat, "state", "m.room.pinned_events")
            assert pinned == {"pinned": ["$hers", ours]}

    asyncio.run(story())


def test_only_our_own_messages_are_edited(synapse: Synapse) -> None:
    async def story() -> None:
        async with invited(synapse) as scene:
            hers = await scene.ann.says(scene.chat, "5")
            with pytest.raises(Refused, match="of ours"):
                await scene.bot.post(PostEdit("1", scene.chat, hers, "6"))

    asyncio.run(story())


def test_a_chat_is_private_only_while_nobody_else_reads_it(synapse: Synapse) -> None:
    async def story() -> None:
        async with invited(synapse) as scene, Person.new(synapse, "eve") as eve:
            assert await scene.bot.direct(scene.chat)
            await scene.ann.invites(scene.chat, eve.user)  # she could read what is written now, once she comes
            assert not await scene.bot.direct(scene.chat)
            await scene.ann.removes(scene.chat, eve.user)
            assert await scene.bot.direct(scene.chat)
            await scene.ann.ask("PUT", "rooms", scene.chat, "state", "m.room.join_rules", body={"join_rule": "public"})
            assert not await scene.bot.direct(scene.chat)
            assert not await scene.bot.direct("!nowhere:localhost")
            await scene.ann.says(scene.chat, "5")
            await until(lambda: scene.inbox.texts)
            assert not scene.inbox.envelopes[-1].direct

    asyncio.run(story())


def test_whoever_removes_us_is_heard_and_refused_from_then_on(synapse: Synapse) -> None:
    async def story() -> None:
        async with invited(synapse) as scene:
            await scene.ann.says(scene.chat, "last words")
            await scene.ann.removes(scene.chat, scene.me)
            with pytest.raises(Refused) as caught:
                await scene.bot.post(PostText("1", scene.chat, "x"))
            assert caught.value.closed
            await until(lambda: len(scene.inbox.envelopes) == 3)
            assert [one.kind for one in scene.inbox.envelopes] == ["opened", "text", "closed"]
            assert scene.inbox.envelopes[-1].direct
            await scene.ann.invites(scene.chat, scene.me)
            await until(lambda: len(scene.inbox.envelopes) > 3)
            known = {one.message for one in scene.inbox.envelopes[:3]}  # the server shows us the past once more
            assert [one.kind for one in scene.inbox.envelopes if one.message not in known] == ["opened"]
            await scene.bot.post(PostText("1", scene.chat, "back again"))

    asyncio.run(story())


def test_an_encrypted_room_is_declined_in_plain_words_and_left(synapse: Synapse) -> None:
    async def story() -> None:
        async with invited(synapse) as scene:
            secret = await scene.ann.opens(scene.me, encrypted=True)
            await until(lambda: any(one.chat == secret for one in scene.inbox.envelopes))
            assert [one.kind for one in scene.inbox.envelopes if one.chat == secret] == ["closed"]
            assert "cannot read encrypted rooms" in (await scene.ann.reads(secret, scene.me))[0]
            assert (await scene.ann.members(secret))[scene.me] == "leave"
            later = {"algorithm": "m.megolm.v1.aes-sha2"}
            await scene.ann.says(scene.chat, "5 5 4")
            await scene.ann.ask("PUT", "rooms", scene.chat, "state", "m.room.encryption", body=later)
            await until(lambda: scene.inbox.envelopes[-1].chat == scene.chat and len(scene.inbox.envelopes) == 4)
            assert [one.kind for one in scene.inbox.envelopes if one.chat == scene.chat] == ["opened", "text", "closed"]
            assert len(await scene.ann.reads(scene.chat, scene.me)) == 1

    asyncio.run(story())


def test_a_room_that_moves_takes_us_along(synapse: Synapse) -> None:
    async def story() -> None:
        async with invited(synapse) as scene:
            told = await scene.ann.ask("POST", "rooms", scene.chat, "upgrade", body={"new_version": "11"})
            new = told["replacement_room"]
            await scene.ann.invites(new, scene.me)
            await until(lambda: any(one.kind == "opened" and one.chat == new for one in scene.inbox.envelopes))
            moved = [one for one in scene.inbox.envelopes if one.kind == "moved"]
            assert [(one.chat, one.text) for one in moved] == [(scene.chat, new)]
            await scene.ann.redacts(new, message := await scene.ann.says(new, "5"))  # newer rooms write it otherwise
            await until(lambda: scene.inbox.envelopes[-1].kind == "deleted" or scene.inbox.envelopes[-1].text == "5")
            await until(lambda: [one.message for one in scene.inbox.envelopes if one.kind == "deleted"] == [message])

    asyncio.run(story())
