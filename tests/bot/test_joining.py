"""Joining through the running service: only with a code, once; the questions before the first session; taps."""

import asyncio
import json
import os
import subprocess
import sys
from pathlib import Path

from tests.bot.running_service import Running, sets_on_record
from tests.bot.test_service import ANN, served
from tests.telegram_double import TelegramDouble

BEA, COACH, THIEF = 5511, 5522, 5533


def invited(service: Running, *words: str) -> str:
    """A fresh code from `plimsoll invite`, beside the running service."""
    environment = os.environ | {"PLIMSOLL_DATABASE": service.url}
    command = [sys.executable, "-m", "bot", "invite", *words, "--json"]
    run = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
    return str(json.loads(run.stdout)["code"])


def buttons(double: TelegramDouble, chat: int) -> list[tuple[int, str, str]]:
    """(message, label, token) of every button shown in a chat."""
    shown = [one for one in double.sent if one.chat == str(chat) and one.params.get("reply_markup")]
    return [
        (one.message, button["text"], button["callback_data"])
        for one in shown
        for row in one.params["reply_markup"]["inline_keyboard"]
        for button in row
    ]


def test_a_code_lets_in_once_and_the_questions_come_first(tmp_path: Path) -> None:
    async def story(double: TelegramDouble, service: Running) -> None:
        double.known.update(map(str, (BEA, COACH, THIEF)))
        coach = await asyncio.to_thread(invited, service, "Okko", "--coach")
        double.says(COACH, coach)
        await double.until(lambda: any("Welcome, coach" in text for text in double.texts(COACH)), 15)
        code = await asyncio.to_thread(invited, service, "Bea")
        double.says(BEA, f"/start {code}")
        await double.until(lambda: any("which year were you born" in text for text in double.texts(BEA)), 15)
        await double.until(lambda: any("Bea has joined" in text for text in double.texts(COACH)), 15)
        double.says(THIEF, f"/start {code}")  # the same code again
        await double.until(lambda: bool(double.texts(THIEF)), 15)
        assert double.texts(THIEF) == ["Hello. I coach members of a club; ask your coach for a code."]
        double.says(BEA, "1990")
        await double.until(lambda: len(buttons(double, BEA)) == 2, 15)
        double.says(BEA, "5 5 4")  # reports are recorded, whatever is open
        await double.until(lambda: [5, 5, 4] in sets_on_record(service.url).values(), 15)
        message, label, token = buttons(double, BEA)[0]
        assert label.startswith("No")
        double.taps(BEA, message, token, sender=THIEF)  # a tap by somebody else settles nothing
        double.taps(BEA, message, token)
        await double.until(lambda: any("clear to start" in text for text in double.texts(BEA)), 15)
        double.taps(BEA, message, token)  # an old button is harmless
        double.says(ANN, "5")
        await double.until(lambda: sets_on_record(service.url).get("a4211") == [5], 15)
        assert sum("clear to start" in text for text in double.texts(BEA)) == 1

    served(tmp_path, story)
