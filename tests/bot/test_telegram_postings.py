"""Postings over HTTP, with the real client, against the double."""

import asyncio

import pytest

from bot.messengers import (
    PostButton,
    PostCopy,
    PostEdit,
    PostPicture,
    PostPin,
    PostReaction,
    PostText,
    Refused,
    Unavailable,
)
from bot.messengers.telegram import Telegram
from tests.bot.telegram_talk import ANN, GROUP, PNG, post
from tests.telegram_double import TelegramDouble
from tests.telegram_rules import Pace


def test_every_verb_arrives_as_what_it_is() -> None:
    async def story(double: TelegramDouble, messenger: Telegram) -> None:
        theirs = double.says(ANN, "5 5 4")["message_id"]
        ours = await messenger.post(PostText("1", str(ANN), "Noted", (PostButton("8", "t8"),), silent=True))
        assert await messenger.post(PostEdit("2", str(ANN), ours, "Noted 💪")) == ""
        assert await messenger.post(PostReaction("3", str(ANN), str(theirs))) == ""
        assert await messenger.post(PostPin("4", str(ANN), ours)) == ""
        shown = await messenger.post(PostPicture("5", str(ANN), PNG, "2 × 5 kg", silent=True))
        await messenger.post(PostEdit("6", str(ANN), shown, "2 × 5 kg, hung"))
        await messenger.post(PostText("7", str(GROUP), "board", thread="12"))
        await messenger.post(PostCopy("8", str(ANN), "77", "1500", "Mirela sent a film."))

    sent = post(story).sent
    assert [one.method for one in sent] == [
        "sendMessage", "editMessageText", "setMessageReaction", "pinChatMessage", "sendPhoto", "editMessageCaption",
        "sendMessage", "copyMessage",
    ]  # fmt: skip
    assert sent[0].params["reply_markup"] == {"inline_keyboard": [[{"text": "8", "callback_data": "t8"}]]}
    assert sent[0].params["disable_notification"] == "true"
    assert "parse_mode" not in sent[0].params
    assert "reply_markup" not in sent[1].params  # an edit without buttons takes the old ones away
    assert sent[2].params["reaction"] == [{"type": "emoji", "emoji": "👍"}]
    assert sent[4].params["photo"] == PNG
    assert sent[6].params["message_thread_id"] == "12"
    assert (sent[7].params["from_chat_id"], sent[7].params["message_id"]) == ("77", "1500")
    assert sent[7].params["caption"] == "Mirela sent a film."
    assert "disable_notification" not in sent[6].params


@pytest.mark.parametrize("text", ["<b>bold</b> & [x](y) *a* _b_ `c`", "\u202eevil", "💪" * 2000, "@everyone"])
def test_text_arrives_as_it_was_written(text: str) -> None:
    async def story(double: TelegramDouble, messenger: Telegram) -> None:
        await messenger.post(PostText("1", str(ANN), text))

    assert post(story).texts(ANN) == [text]


def test_a_repeated_edit_or_reaction_is_success() -> None:
    async def story(double: TelegramDouble, messenger: Telegram) -> None:
        ours = await messenger.post(PostText("1", str(ANN), "one"))
        for _ in range(2):
            await messenger.post(PostEdit("2", str(ANN), ours, "two"))
            await messenger.post(PostReaction("3", str(ANN), ours))

    assert post(story).texts(ANN) == ["one", "two"]


def test_a_long_text_goes_in_pieces_with_its_buttons_at_the_end() -> None:
    long = "\n".join(f"line {number:04d}" for number in range(900))

    async def story(double: TelegramDouble, messenger: Telegram) -> None:
        await messenger.post(PostText("1", str(ANN), long, (PostButton("ok", "t"),)))
        with pytest.raises(Refused, match="must fit"):
            await messenger.post(PostEdit("2", str(ANN), "1", long))
        await messenger.post(PostPicture("3", str(ANN), PNG, long[:2000], (PostButton("ok", "t"),)))

    sent = post(story).sent
    assert "\n".join(one.text for one in sent[:3]) == long
    assert ["reply_markup" in one.params for one in sent] == [False, False, True, False, True]
    assert [one.method for one in sent[3:]] == ["sendPhoto", "sendMessage"]


def test_a_long_text_that_is_cut_short_goes_on_where_it_stopped() -> None:
    long = "\n".join(f"line {number:04d}" for number in range(900))

    async def story(double: TelegramDouble, messenger: Telegram) -> None:
        posting = PostText("1", str(ANN), long)
        failing = asyncio.create_task(messenger.post(posting))
        await double.until(lambda: len(double.sent) == 1)
        double.fail("sendMessage", 429, "Too Many Requests: retry after 1", retry_after=1)
        with pytest.raises(Unavailable):
            await failing
        await messenger.post(posting)

    double = TelegramDouble(pace=Pace(None, None, None), latency_s=0.02)
    assert "\n".join(post(story, double).texts(ANN)) == long


def test_an_invite_is_a_link_that_brings_its_code() -> None:
    async def story(double: TelegramDouble, messenger: Telegram) -> None:
        assert await messenger.link("Zk3_-9") == "https://t.me/plimsoll_test_bot?start=Zk3_-9"

    post(story)
