"""What a failed call means, and where the token must not be, over HTTP with the real client."""

import asyncio
import logging

import pytest

from bot.messengers import (
    PostText,
    Refused,
    Unavailable,
)
from bot.messengers.telegram import Telegram, checked_api
from bot.redaction import CHATTY, keep_out_of_logs
from core.problems import BadInput
from tests.bot.telegram_talk import ANN, GROUP, QUICK, Inbox, free, post, talk
from tests.telegram_double import TelegramDouble


@pytest.mark.parametrize(
    ("code", "description", "parameters", "closed", "moved"),
    [
        (403, "Forbidden: bot was blocked by the user", {}, True, None),
        (403, "Forbidden: bot was kicked from the group chat", {}, True, None),
        (400, "Bad Request: chat not found", {}, True, None),
        (400, "Bad Request: not enough rights to send text messages to the chat", {}, False, None),
        (400, "Bad Request: upgraded", {"migrate_to_chat_id": -1001}, False, "-1001"),
        (413, "Request Entity Too Large", {}, False, None),
    ],
)
def test_refusals(code: int, description: str, parameters: dict[str, int], closed: bool, moved: str | None) -> None:
    async def story(double: TelegramDouble, messenger: Telegram) -> None:
        double.fail("sendMessage", code, description, **parameters)
        with pytest.raises(Refused) as caught:
            await messenger.post(PostText("1", str(ANN), "x"))
        assert (caught.value.closed, caught.value.moved_to) == (closed, moved)

    post(story)


@pytest.mark.parametrize(
    ("code", "description", "parameters", "sent", "wait"),
    [
        (429, "Too Many Requests: retry after 7", {"retry_after": 7}, "no", 7.0),
        (429, "Too Many Requests: retry after 0", {}, "no", 1.0),
        (500, "Internal Server Error", {}, "unknown", None),
        (502, "Bad Gateway", {}, "unknown", None),
        (401, "Unauthorized", {}, "no", 60.0),
    ],
)
def test_not_now(code: int, description: str, parameters: dict[str, int], sent: str, wait: float | None) -> None:
    async def story(double: TelegramDouble, messenger: Telegram) -> None:
        double.fail("sendMessage", code, description, **parameters)
        with pytest.raises(Unavailable) as caught:
            await messenger.post(PostText("1", str(ANN), "x"))
        assert (caught.value.sent, caught.value.wait_s) == (sent, wait)

    post(story)


@pytest.mark.parametrize("how", ["cut", "hang"])
def test_a_cut_answer_is_uncertain_for_the_message_is_there(how: str) -> None:
    async def story(double: TelegramDouble, messenger: Telegram) -> None:
        getattr(double, how)("sendMessage")
        with pytest.raises(Unavailable) as caught:
            await messenger.post(PostText("1", str(ANN), "x"))
        assert caught.value.sent == "unknown"

    assert post(story).texts(ANN) == ["x"]


def test_an_unreachable_server_has_certainly_not_sent() -> None:
    async def run() -> None:
        async with free() as double:
            port = double.port
        messenger = Telegram("1:TEST", f"http://127.0.0.1:{port}", rhythm=QUICK)
        with pytest.raises(Unavailable) as caught:
            await messenger.post(PostText("1", str(ANN), "x"))
        assert caught.value.sent == "no"
        await messenger.close()

    asyncio.run(run())


def test_a_blocked_person_and_a_moved_group_refuse() -> None:
    async def story(double: TelegramDouble, messenger: Telegram) -> None:
        double.blocks(ANN)
        new = double.upgrades(GROUP)
        with pytest.raises(Refused) as closed:
            await messenger.post(PostText("1", str(ANN), "x"))
        with pytest.raises(Refused) as moved:
            await messenger.post(PostText("2", str(GROUP), "x"))
        assert closed.value.closed
        assert moved.value.moved_to == str(new)
        await messenger.post(PostText("3", str(new), "x"))
        assert await messenger.direct(str(ANN))
        assert not await messenger.direct(str(new))

    post(story)


@pytest.mark.parametrize(
    "address", ["http://api.example", "http://10.0.0.1:8081", "ftp://127.0.0.1", "api.telegram.org", ""]
)
def test_the_token_never_travels_in_clear_text(address: str) -> None:
    with pytest.raises(BadInput, match="clear text"):
        Telegram("1:TEST", address)


@pytest.mark.parametrize("address", ["https://api.telegram.org", "http://127.0.0.1:8081/", "http://localhost:1"])
def test_addresses_that_may_carry_the_token(address: str) -> None:
    assert not checked_api(address).endswith("/")


def test_the_token_is_in_no_log_of_a_whole_conversation(caplog: pytest.LogCaptureFixture) -> None:
    made = logging.getLogRecordFactory()
    levels = {name: logging.getLogger(name).level for name in ("httpx", "httpcore", "telegram")}
    keep_out_of_logs("1:TEST")

    async def story(double: TelegramDouble, messenger: Telegram, inbox: Inbox) -> None:
        double.fail("getUpdates", 401, "Unauthorized")
        double.says(ANN, "5")
        double.cut("sendMessage")
        with pytest.raises(Unavailable):
            await messenger.post(PostText("1", str(ANN), "x"))
        logging.getLogger("httpcore.test").warning("POST /bot%s/sendMessage", "1:TEST")

    try:
        with caplog.at_level(logging.DEBUG):
            talk(story)
    finally:
        logging.setLogRecordFactory(made)
        for name, level in levels.items():
            logging.getLogger(name).setLevel(level)
    assert "POST /bot[secret]/sendMessage" in caplog.text
    assert "1:TEST" not in caplog.text


def test_without_the_silence_the_token_would_be_logged(caplog: pytest.LogCaptureFixture) -> None:
    async def story(double: TelegramDouble, messenger: Telegram) -> None:
        await messenger.post(PostText("1", str(ANN), "x"))

    made = logging.getLogRecordFactory()  # another test of this process may have silenced everything
    logging.setLogRecordFactory(logging.LogRecord)
    for name in CHATTY:
        caplog.set_level(logging.DEBUG, logger=name)
    try:
        with caplog.at_level(logging.DEBUG):
            post(story)
    finally:
        logging.setLogRecordFactory(made)
    assert "1:TEST" in caplog.text
