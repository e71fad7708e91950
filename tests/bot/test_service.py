"""The whole service in a process of its own: join, log, edit, redelivery, restart, stop, and the token in no log."""

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest

from tests.bot.running_service import Running, found, sets_on_record, states
from tests.telegram_double import TelegramDouble

ANN = 4211
Story = Callable[[TelegramDouble, Running], Awaitable[None]]


def served(folder: Path, story: Story, **env: str) -> Running:
    """The service against a double that has its limits on; nothing may be called before its time."""

    async def run() -> Running:
        async with TelegramDouble() as double:
            service = Running(folder, double.url, **env)
            found(service.url, [ANN])
            double.known.add(str(ANN))
            service.start()
            try:
                await story(double, service)
            finally:
                if service.alive:
                    assert await asyncio.to_thread(service.stop) < 10
            assert double.pace.early == []
            assert double.pace.too_fast == []
            return service

    service = asyncio.run(run())
    assert "1:TEST" not in service.log()
    assert "Traceback" not in service.log()
    return service


def marked(double: TelegramDouble) -> list[int]:
    return [one.message for one in double.sent if one.method == "setMessageReaction"]


def test_sets_are_logged_marked_and_answered_and_an_edit_corrects(tmp_path: Path) -> None:
    async def story(double: TelegramDouble, service: Running) -> None:
        message = double.says(ANN, "5 5 4")
        await double.until(lambda: bool(double.texts(ANN)) or bool(marked(double)), 15)
        assert sets_on_record(service.url) == {"a4211": [5, 5, 4]}
        double.edits(message, "5 5 5")
        await double.until(lambda: sets_on_record(service.url) == {"a4211": [5, 5, 5]}, 10)

    served(tmp_path, story)


def test_a_stop_takes_seconds_and_a_restart_takes_up_what_came_meanwhile(tmp_path: Path) -> None:
    async def story(double: TelegramDouble, service: Running) -> None:
        double.says(ANN, "5")
        await double.until(lambda: sets_on_record(service.url) == {"a4211": [5]}, 15)
        assert await asyncio.to_thread(service.stop) < 10
        assert service.ended() == 0
        double.says(ANN, "4")
        service.start()
        await double.until(lambda: sets_on_record(service.url) == {"a4211": [5, 4]}, 15)

    served(tmp_path, story)


def test_a_redelivered_update_is_recorded_once(tmp_path: Path) -> None:
    async def story(double: TelegramDouble, service: Running) -> None:
        double.says(ANN, "5")
        first = double.updates[0]
        await double.until(lambda: sets_on_record(service.url) == {"a4211": [5]}, 15)
        for number in range(3):
            double.push_again(first | {"update_id": 700_000 + number})
        double.says(ANN, "4")
        await double.until(lambda: sets_on_record(service.url) == {"a4211": [5, 4]}, 10)

    served(tmp_path, story)


def test_what_comes_by_another_hand_is_not_logged(tmp_path: Path) -> None:
    async def story(double: TelegramDouble, service: Running) -> None:
        double.says(ANN, "9 9 9", forward_origin={"type": "hidden_user", "sender_user_name": "B", "date": 1})
        double.says(ANN, "8", via_bot={"id": 9, "is_bot": True, "first_name": "B"})
        double.says(ANN, "5")
        await double.until(lambda: sets_on_record(service.url) == {"a4211": [5]}, 15)

    served(tmp_path, story)


def test_an_update_nobody_can_read_is_set_aside(tmp_path: Path) -> None:
    async def story(double: TelegramDouble, service: Running) -> None:
        double.push("message", {"message_id": "x", "text": "5", "chat": {"id": ANN, "type": "private"}})
        double.says(ANN, "5")
        await double.until(lambda: sets_on_record(service.url) == {"a4211": [5]}, 15)
        assert states(service.url, "inbox")["aside"] == 1

    served(tmp_path, story)


def test_a_stranger_gets_one_neutral_line_then_silence(tmp_path: Path) -> None:
    async def story(double: TelegramDouble, service: Running) -> None:
        for words in ("hello", "5 5 5", "/start"):
            double.says(77, words)
        double.says(ANN, "5")
        await double.until(lambda: sets_on_record(service.url) == {"a4211": [5]}, 15)
        await double.until(lambda: bool(double.texts(77)), 5)
        await asyncio.sleep(1.5)
        assert len(double.texts(77)) == 1

    served(tmp_path, story)


def test_a_wrong_token_is_one_sentence_without_the_token(tmp_path: Path) -> None:
    async def story(double: TelegramDouble, service: Running) -> None:
        await double.until(lambda: "does not accept the bot's token" in service.log() or not service.alive, 15)
        await double.until(lambda: not service.alive, 15)
        assert service.code == 2
        assert "does not accept the bot's token" in service.log().splitlines()[-1]
        assert "2:WRONG" not in service.log()

    served(tmp_path, story, PLIMSOLL_TELEGRAM_TOKEN="2:WRONG")


@pytest.mark.parametrize("kills", [6])
def test_killed_at_random_every_set_is_on_record_once_and_in_order(tmp_path: Path, kills: int) -> None:
    """SIGKILL in the midst of work; the double keeps what was not confirmed."""

    async def story(double: TelegramDouble, service: Running) -> None:
        double.pace.chat_per_s = double.pace.bot_per_s = None
        reps = [1 + number % 12 for number in range(10 * kills)]
        for number, count in enumerate(reps):
            double.says(ANN, f"{count}")
            await asyncio.sleep(0.05)
            if number % 10 == 9:
                await double.until(lambda: bool(double.offsets), 10)
                service.kill()
                double.offsets.clear()
                service.start()
        await double.until(lambda: sets_on_record(service.url).get("a4211") == reps, 20)

    served(tmp_path, story)
