"""Arrivals over HTTP, with the real client, against the double: confirmed once stored, healed where waiting heals."""

import asyncio
import logging
from datetime import UTC, datetime

import pytest

from bot.messengers import (
    Arrival,
    Misconfigured,
    PostButton,
    PostText,
    Unavailable,
)
from bot.messengers.telegram import QUIET, Menu, Rhythm, Telegram
from bot.messengers.telegram_client import Client
from tests.bot.telegram_talk import ANN, QUICK, Inbox, free, talk
from tests.telegram_double import TelegramDouble


def test_what_is_said_arrives_and_is_confirmed_only_after_it_is_stored() -> None:
    async def story(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        inbox.double = double
        double.says(ANN, "5 5 4 at 7.5")
        await double.until(lambda: inbox.texts == ["5 5 4 at 7.5"])
        await double.until(lambda: double.offsets[-1] == 500_002)
        double.says(ANN, "5")
        await double.until(lambda: len(inbox.texts) == 2)

    _, inbox = talk(story)
    assert inbox.offsets_at_store == [None, 500_002]
    assert [batch.cursor.split("@")[0] for batch in inbox.batches if batch.cursor] == ["500002", "500003"]


def test_a_failing_store_confirms_nothing_and_the_batch_comes_again(caplog: pytest.LogCaptureFixture) -> None:
    async def story(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        double.says(ANN, "5")
        inbox.double = double
        await double.until(lambda: inbox.texts == ["5"])

    _, inbox = talk(story, Inbox(failures=3))
    assert inbox.offsets_at_store == [None]
    assert sum("cannot be stored" in record.message for record in caplog.records) == 1


def test_a_stopped_service_takes_up_where_it_stored() -> None:
    """Killed before the commit: the same again. Killed after it, before the confirmation: nothing lost, once more."""

    async def first(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        double.says(ANN, "1")
        double.says(ANN, "2")
        await double.until(lambda: inbox.texts == ["1", "2"])

    double, inbox = talk(first)
    assert len(double.updates) == 2 or double.offsets[-1] == 500_003

    async def again(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        double.says(ANN, "3")
        await double.until(lambda: "3" in inbox.texts)

    double.port = 0
    _, later = talk(again, double=double, cursor=inbox.batches[-1].cursor)
    assert later.texts == ["3"]
    double.port = 0

    async def never_stored(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        double.says(ANN, "4")
        await double.until(lambda: inbox.failures < 1000)

    talk(never_stored, Inbox(failures=1000), double, cursor=later.batches[-1].cursor)
    double.port = 0

    async def story(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        await double.until(lambda: bool(inbox.texts))

    _, last = talk(story, double=double, cursor=later.batches[-1].cursor)
    assert last.texts == ["4"]


def test_one_bad_update_is_set_aside_and_hides_no_other() -> None:
    async def story(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        double.says(ANN, "1")
        double.push("message", {"message_id": "no number", "text": "x", "chat": {"id": ANN, "type": "private"}})
        double.push("channel_post", {"odd": True})
        double.says(ANN, "2")
        await double.until(lambda: len(inbox.envelopes) == 3)

    _, inbox = talk(story)
    assert [envelope.kind for envelope in inbox.envelopes] == [Arrival.TEXT, Arrival.UNREADABLE, Arrival.TEXT]
    assert "no number" in inbox.envelopes[1].raw


def test_a_tap_is_answered_at_once_even_while_the_store_fails() -> None:
    async def story(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        double.says(ANN, "/start")
        sent = await messenger.post(PostText("1", str(ANN), "How hard?", (PostButton("8", "tok"),)))
        inbox.failures = 2
        query = double.taps(ANN, int(sent), "tok")
        await double.until(lambda: double.answered == [query])
        await double.until(lambda: "tok" in inbox.texts)

    _, inbox = talk(story)
    tap = inbox.envelopes[-1]
    assert (tap.kind, tap.sender, tap.text) == (Arrival.TAP, str(ANN), "tok")


def test_a_tap_too_old_to_answer_still_arrives() -> None:
    async def story(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        message = double.says(ANN, "x")
        double.taps(ANN, message["message_id"], "tok")
        double.open_queries.clear()
        await double.until(lambda: "tok" in inbox.texts)

    talk(story)


def test_only_what_we_understand_is_asked_for() -> None:
    async def story(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        await double.until(lambda: bool(double.offsets))

    double, _ = talk(story)
    asked = next(params for method, params in double.calls if method == "getUpdates")
    assert asked["allowed_updates"] == ["message", "edited_message", "callback_query", "my_chat_member"]


def test_a_second_poller_is_said_once_and_service_goes_on_when_it_ends(caplog: pytest.LogCaptureFixture) -> None:
    async def story(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        await double.until(lambda: bool(double.offsets))
        other = Client("1:TEST", double.url)
        await other.updates(None, 0)
        double.says(ANN, "5")
        await double.until(lambda: inbox.texts == ["5"])
        await other.leave()

    talk(story)
    assert [record.message for record in caplog.records if "another program" in record.message]


def test_a_webhook_is_one_clear_sentence_and_heals(caplog: pytest.LogCaptureFixture) -> None:
    double = free()
    double.webhook = "https://elsewhere.example/hook"

    async def story(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        double.says(ANN, "5")
        await double.until(lambda: len(double.offsets) == 1)
        double.webhook = ""
        await double.until(lambda: inbox.texts == ["5"], 8)

    talk(story, double=double)
    said = [record.message for record in caplog.records if record.levelno == logging.WARNING]
    assert len(said) == 1
    assert "a webhook is still set" in said[0]


def test_a_wrong_token_ends_the_service_with_one_sentence_that_does_not_name_it() -> None:
    async def run() -> None:
        async with free() as double:
            messenger = Telegram("2:WRONG", double.url, rhythm=QUICK)
            with pytest.raises(Misconfigured, match="does not accept the bot's token") as caught:
                await messenger.serve(None, Inbox())
            assert "WRONG" not in str(caught.value)
            assert caught.value.__suppress_context__
            with pytest.raises(Unavailable, match="does not accept") as waits:  # a posting waits for the right token
                await messenger.post(PostText("1", str(ANN), "x"))
            assert waits.value.sent == "no"
            await messenger.close()

    asyncio.run(run())


def test_a_dead_network_is_said_once_and_heals(caplog: pytest.LogCaptureFixture) -> None:
    async def run() -> None:
        async with free() as double:
            port = double.port
        inbox = Inbox()
        messenger = Telegram("1:TEST", f"http://127.0.0.1:{port}", rhythm=QUICK)
        serving = asyncio.create_task(messenger.serve(None, inbox))
        await asyncio.sleep(0.1)
        again = free()
        again.port = port
        async with again:
            again.says(ANN, "5")
            await again.until(lambda: inbox.texts == ["5"])
            serving.cancel()
            await asyncio.gather(serving, return_exceptions=True)
            await messenger.close()

    with caplog.at_level(logging.INFO, "plimsoll.telegram"):
        asyncio.run(run())
    said = [record.message for record in caplog.records if record.name == "plimsoll.telegram"]
    assert len(said) == 2
    assert "cannot be reached" in said[0]
    assert said[1].endswith("served again")


def test_service_ends_at_once_in_the_midst_of_a_long_poll() -> None:
    async def run() -> float:
        async with free() as double:
            messenger = Telegram("1:TEST", double.url, rhythm=Rhythm(poll_s=25))
            serving = asyncio.create_task(messenger.serve(None, Inbox()))
            await double.until(lambda: bool(double.offsets))
            start = asyncio.get_running_loop().time()
            serving.cancel()
            await asyncio.gather(serving, return_exceptions=True)
            await messenger.close()
            return asyncio.get_running_loop().time() - start

    assert asyncio.run(run()) < 1


def test_after_a_quiet_week_numbers_may_start_anywhere() -> None:
    """Six days without an update: we ask without an offset, so that a smaller number is not taken for confirmed."""
    long_ago = datetime(2026, 10, 1, tzinfo=UTC)
    now = long_ago + QUIET

    async def story(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        double.says(ANN, "back again")
        await double.until(lambda: inbox.texts == ["back again"])
        await double.until(lambda: len(double.offsets) == 2)

    double, _ = talk(story, cursor=f"900000@{int(long_ago.timestamp())}", now=lambda: now)
    assert double.offsets == [None, 500_002]
    double, _ = talk(
        lambda double, messenger, inbox: double.until(lambda: bool(double.offsets)),
        cursor=f"900000@{int(long_ago.timestamp())}",
        now=lambda: now.replace(day=3),
    )
    assert double.offsets[0] == 900_000


def test_menus_are_shown_and_a_refused_one_is_only_a_comfort_lost(caplog: pytest.LogCaptureFixture) -> None:
    menus = (
        Menu("private", (("today", "the session of today"),)),
        Menu("groups", (("board", "the club's board"),), "de"),
        Menu("4211", (("Not valid", "y"),)),
    )

    async def story(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        await double.until(lambda: bool(double.offsets))

    double, _ = talk(story, menus=menus)
    assert [menu["scope"] for menu in double.menus] == [{"type": "all_private_chats"}, {"type": "all_group_chats"}]
    assert [menu.get("language_code") for menu in double.menus] == [None, "de"]
    assert any("menu" in record.message for record in caplog.records)
    with pytest.raises(ValueError, match="at most 8"):
        Menu("private", tuple((f"c{n}", "x") for n in range(9)))
