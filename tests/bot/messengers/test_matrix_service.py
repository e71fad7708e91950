"""The whole service on a real Matrix server: join by code, log, edit, take back, kill, stop; no secret in its log."""

import asyncio
import json
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from bot.app import session_file
from tests.bot.messengers.matrix_talk import until
from tests.bot.running_service import Running, found, sets_on_record
from tests.matrix_person import PASSWORD, Person
from tests.synapse import Synapse

pytestmark = pytest.mark.xdist_group("synapse")

ATHLETE = "a4211"


def invite(service: Running) -> dict[str, object]:
    command = [sys.executable, "-m", "bot", "invite", "Athlete 4211", "--json"]
    done = subprocess.run(command, env=service._env, capture_output=True, text=True, check=True)
    told: dict[str, object] = json.loads(done.stdout)
    return told


def test_an_athlete_joins_by_code_and_logs(synapse: Synapse, tmp_path: Path) -> None:
    async def story() -> None:
        async with (
            Person.new(synapse, "ann") as ann,
            Person.new(synapse, "eve") as eve,
            Person.new(synapse, "plimsoll") as bot,
        ):
            service = Running(
                tmp_path, "", PLIMSOLL_TELEGRAM_TOKEN="", PLIMSOLL_MATRIX_HOMESERVER=synapse.url,
                PLIMSOLL_MATRIX_USER=bot.user, PLIMSOLL_MATRIX_PASSWORD=PASSWORD,
            )  # fmt: skip
            found(service.url, [4211])
            service.start()
            try:
                await walk(service, ann, eve, bot)
            finally:
                if service.alive:
                    assert await asyncio.to_thread(service.stop) < 10
            session = session_file(service.url)
            assert stat.S_IMODE(session.stat().st_mode) == 0o600
            for secret in (PASSWORD, json.loads(session.read_text())["token"]):
                assert secret not in service.log()
                assert secret.encode() not in (tmp_path / "plimsoll.db").read_bytes()
            assert "Traceback" not in service.log()

    asyncio.run(story())


async def walk(service: Running, ann: Person, eve: Person, bot: Person) -> None:
    def on_record(*reps: int) -> Callable[[], bool]:
        return lambda: sets_on_record(service.url).get(ATHLETE, []) == list(reps)

    chat = await ann.opens(bot.user, is_direct=True)
    while (await ann.members(chat)).get(bot.user) != "join":
        await asyncio.sleep(0.05)
    told = await asyncio.to_thread(invite, service)
    assert told["links"] == {"matrix": f"https://matrix.to/#/{bot.user}"}
    await ann.says(chat, str(told["code"]))
    while not await ann.reads(chat, bot.user):
        await asyncio.sleep(0.05)
    message = await ann.says(chat, "2 2 1")
    await until(on_record(2, 2, 1))
    await ann.edits(chat, message, "2 2 2")
    await until(on_record(2, 2, 2))
    await ann.invites(chat, eve.user)
    await eve.joins(chat)
    await eve.edits(chat, message, "1 2 1")
    await ann.removes(chat, eve.user)
    second = await ann.says(chat, "1 rep")
    await until(on_record(2, 2, 2, 1))
    service.kill()
    await ann.redacts(chat, second)
    await ann.says(chat, "2 reps")
    service.start()
    await until(on_record(2, 2, 2, 2))
    marked = [one["content"]["m.relates_to"]["event_id"] for one in await ann.sees(chat) if one["type"] == "m.reaction"]
    assert len(marked) == len(set(marked))
