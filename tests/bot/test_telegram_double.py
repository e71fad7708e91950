"""The double itself: it must refuse what the official server refuses, or every test against it is worth nothing."""

import asyncio
from collections.abc import Awaitable, Callable
from typing import Any

import pytest

from bot.messengers import Refused, Unavailable
from bot.messengers.telegram_client import Client
from tests.telegram_double import TelegramDouble
from tests.telegram_rules import Pace

ANN = 4211
Story = Callable[[TelegramDouble, Client], Awaitable[None]]


class Hand:
    """A clock that stands until it is moved."""

    def __init__(self) -> None:
        self.at = 1000.0

    def __call__(self) -> float:
        return self.at


def ask(story: Story, pace: Pace | None = None) -> TelegramDouble:
    double = TelegramDouble(pace=Pace(None, None, None) if pace is None else pace, clock=Hand())
    double.known |= {str(ANN), "-5"} | {str(chat) for chat in range(1, 40)}

    async def run() -> None:
        async with double:
            client = Client("1:TEST", double.url)
            try:
                await story(double, client)
            finally:
                await client.leave()

    asyncio.run(run())
    return double


def text(chat: int, words: str = "x", **more: Any) -> dict[str, Any]:
    return {"chat_id": chat, "text": words, **more}


def button(label: str, token: str) -> dict[str, Any]:
    return {"reply_markup": {"inline_keyboard": [[{"text": label, "callback_data": token}]]}}


@pytest.mark.parametrize(
    ("method", "data", "why"),
    [
        ("sendMessage", text(ANN, " \n"), "text is empty"),
        ("sendMessage", text(ANN, "💪" * 2049), "too long"),
        ("sendMessage", text(ANN, "x", **button("a", "x" * 65)), "button_data_invalid"),
        ("sendMessage", text(ANN, "x", **button("a", "")), "button_data_invalid"),
        ("sendMessage", text(ANN, "x", **button(" ", "t")), "must be non-empty"),
        ("sendMessage", text(99999), "can't initiate"),
        ("sendMessage", text(-99999), "chat not found"),
        ("editMessageText", text(ANN, "x", message_id=7), "not found"),
        ("setMessageReaction", {"chat_id": ANN, "message_id": 7, "reaction": [{"emoji": "👍"}]}, "not found"),
        ("setMessageReaction", {"chat_id": ANN, "message_id": 7, "reaction": [{"emoji": "✅"}]}, "reaction_invalid"),
        ("setMessageReaction", {"chat_id": ANN, "message_id": 7, "reaction": [{}, {}]}, "too_many"),
        ("answerCallbackQuery", {"callback_query_id": "q"}, "too old"),
        ("setMyCommands", {"commands": [{"command": "Today", "description": "x"}]}, "bot_command_invalid"),
    ],
)
def test_refusals(method: str, data: dict[str, Any], why: str) -> None:
    async def story(double: TelegramDouble, client: Client) -> None:
        with pytest.raises(Refused) as caught:
            await client.call(method, data)
        assert why in caught.value.why.casefold()

    assert ask(story).sent == []


def test_what_just_fits_passes() -> None:
    async def story(double: TelegramDouble, client: Client) -> None:
        sent = await client.call("sendMessage", text(ANN, "💪" * 2048, **button("a", "x" * 64)))
        with pytest.raises(Refused, match=r"(?i)not modified"):
            await client.call(
                "editMessageText", text(ANN, "💪" * 2048, message_id=sent["message_id"], **button("a", "x" * 64))
            )
        theirs = double.says(ANN, "5")
        with pytest.raises(Refused, match="can't be edited"):
            await client.call("editMessageText", text(ANN, "6", message_id=theirs["message_id"]))

    assert len(ask(story).sent) == 1


def test_one_a_second_to_a_chat_and_a_call_before_its_time_is_recorded() -> None:
    async def story(double: TelegramDouble, client: Client) -> None:
        await client.call("sendMessage", text(1))
        double.clock.at += 0.9  # type: ignore[attr-defined]
        with pytest.raises(Unavailable) as caught:
            await client.call("sendMessage", text(1))
        assert caught.value.wait_s == 1
        await client.call("sendMessage", text(2))
        assert double.pace.early == []
        with pytest.raises(Unavailable):
            await client.call("sendMessage", text(1))
        assert len(double.pace.early) == 1
        double.clock.at += 1.0  # type: ignore[attr-defined]
        await client.call("sendMessage", text(1))

    double = ask(story, Pace())
    assert (len(double.pace.early), double.pace.too_fast) == (1, ["1", "1"])


def test_thirty_a_second_in_all_edits_included() -> None:
    async def story(double: TelegramDouble, client: Client) -> None:
        sent = await client.call("sendMessage", text(1))
        await client.call("editMessageText", text(1, "y", message_id=sent["message_id"]))
        for chat in range(2, 30):
            await client.call("sendMessage", text(chat))
        with pytest.raises(Unavailable):
            await client.call("sendMessage", text(31))
        await client.call("setMyCommands", {"commands": []})  # not a send

    ask(story, Pace(chat_per_s=None))


def test_twenty_a_minute_to_a_group() -> None:
    async def story(double: TelegramDouble, client: Client) -> None:
        for _ in range(20):
            await client.call("sendMessage", text(-5))
            double.clock.at += 1.5  # type: ignore[attr-defined]
        with pytest.raises(Unavailable) as caught:
            await client.call("sendMessage", text(-5))
        assert caught.value.wait_s == 31  # the first of the twenty leaves the minute in 30 s; whole seconds, upwards
        for _ in range(25):
            double.clock.at += 1.5  # type: ignore[attr-defined]
            await client.call("sendMessage", text(1))

    ask(story, Pace())


def test_an_update_is_forgotten_only_when_the_offset_has_passed_it() -> None:
    async def story(double: TelegramDouble, client: Client) -> None:
        for words in ("1", "2", "3"):
            double.says(ANN, words)
        first = await client.updates(None, 0)
        assert await client.updates(None, 0) == first
        assert await client.updates(first[1]["update_id"], 0) == first[1:]
        assert await client.updates(None, 0) == first[1:]
        assert await client.updates(first[2]["update_id"] + 1, 0) == []
        assert double.updates == []

    ask(story)


def test_a_long_poll_waits_for_news_and_a_second_poller_ends_the_first() -> None:
    async def story(double: TelegramDouble, client: Client) -> None:
        polling = asyncio.create_task(client.updates(None, 5))
        await double.until(lambda: bool(double.offsets))
        double.says(ANN, "5")
        assert len(await polling) == 1
        polling = asyncio.create_task(client.updates(500_002, 5))
        await double.until(lambda: len(double.offsets) == 2)
        other = Client("1:TEST", double.url)
        await other.updates(500_002, 0)
        await other.leave()
        with pytest.raises(Unavailable, match="another program"):
            await polling

    ask(story)


def test_a_webhook_that_is_set_shuts_the_door_until_it_is_deleted() -> None:
    async def story(double: TelegramDouble, client: Client) -> None:
        double.webhook = "https://elsewhere.example"
        with pytest.raises(Unavailable, match="webhook"):
            await client.updates(None, 0)
        await client.call("deleteWebhook", {})
        assert await client.updates(None, 0) == []

    ask(story)


def test_a_cut_answer_has_done_its_work() -> None:
    async def story(double: TelegramDouble, client: Client) -> None:
        double.cut("sendMessage")
        with pytest.raises(Unavailable):
            await client.call("sendMessage", text(1, "there"))

    assert ask(story).texts(1) == ["there"]
