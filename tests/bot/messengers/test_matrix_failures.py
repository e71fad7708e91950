"""What goes wrong on the way: kills of either side, lost answers, limits, wrong settings; no secret in any log."""

import asyncio
import io
import json
import logging
import random
import stat
import subprocess
import sys
from contextlib import suppress
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from bot.messengers import Misconfigured, PostText, Refused, Unavailable
from bot.messengers.matrix import RECENT, Matrix
from bot.messengers.matrix_session import FileSession, SignIn
from bot.redaction import keep_out_of_logs
from core.problems import BadInput
from tests.bot.messengers.matrix_talk import QUICK, Account, Inbox, invited, served, until
from tests.cutting_proxy import CuttingProxy
from tests.matrix_person import PASSWORD, Person
from tests.synapse import Synapse, serving

pytestmark = pytest.mark.xdist_group("synapse")

DEFAULT_LIMITS = ""


def test_killed_again_and_again_between_storing_and_moving_on_nothing_is_lost(synapse: Synapse, tmp_path: Path) -> None:
    said = [str(number) for number in range(30)]
    seeded = random.Random(8)

    def start(user: str) -> "subprocess.Popen[bytes]":
        command = [
            sys.executable,
            "-m",
            "tests.bot.messengers.matrix_taker",
            synapse.url,
            user,
            PASSWORD,
            str(tmp_path),
        ]
        return subprocess.Popen(command)

    async def says(ann: Person, chat: str, texts: list[str]) -> None:
        for text in texts:
            await ann.says(chat, text)
            await asyncio.sleep(0.03)

    def stored() -> list[tuple[str, str]]:
        store = tmp_path / "store.jsonl"
        lines = store.read_text().splitlines() if store.exists() else []
        return [tuple(text) for line in lines for text in json.loads(line)["texts"]]

    async def story() -> None:
        async with Person.new(synapse, "ann") as ann, Person.new(synapse, "plimsoll") as bot:
            chat = await ann.opens(bot.user)
            taker = start(bot.user)
            try:
                while (await ann.members(chat)).get(bot.user) != "join":
                    await asyncio.sleep(0.05)
                for kills in range(5):
                    before = len(stored())
                    saying = asyncio.create_task(says(ann, chat, said[kills * 6 : kills * 6 + 6]))
                    await until(lambda before=before: len(stored()) > before)
                    await asyncio.sleep(seeded.random() * 0.15)
                    taker.kill()
                    taker.wait()
                    taker = start(bot.user)
                    await saying
                await until(lambda: len(dict(stored())) == len(said), 20)
            finally:
                taker.kill()
                taker.wait()
            assert list(dict(stored()).values()) == said
            devices = (await bot.ask("GET", "devices"))["devices"]
            assert sum(one["device_id"].startswith("PLIMSOLL") for one in devices) <= 2  # the second, if killed at once

    asyncio.run(story())


def test_a_server_killed_between_request_and_answer_shows_the_message_once() -> None:
    """The request is passed on and done, its answer lost, the server killed and started; default limits."""

    async def story(server: Synapse) -> None:
        async with CuttingProxy(server.port) as proxy, invited(server, url=proxy.url) as scene:
            impatient = Matrix(
                proxy.url, scene.me, PASSWORD, scene.account.session, rhythm=replace(QUICK, answer_within_s=2)
            )
            posting = PostText("1", scene.chat, "once")
            proxy.cut(b"/send/m.room.message/")
            with pytest.raises(Unavailable) as lost:
                await impatient.post(posting)
            assert (lost.value.sent, proxy.swallowed > 0) == ("unknown", True)
            assert await scene.ann.reads(scene.chat, scene.me) == ["once"]
            server.kill()
            with pytest.raises(Unavailable):
                await impatient.post(posting)
            server.start()
            await impatient.post(posting)
            await impatient.close()
            assert await scene.ann.reads(scene.chat, scene.me) == ["once"]
            await scene.ann.says(scene.chat, "still there?")
            await until(lambda: scene.inbox.texts == ["still there?"])
            await slowed_down(scene.bot, scene.chat)

    async def slowed_down(bot: Matrix, chat: str) -> None:
        async def many() -> None:
            for number in range(30):
                await bot.post(PostText(f"many{number}", chat, "x"))

        with pytest.raises(Unavailable) as limited:
            await many()
        assert limited.value.sent == "no"
        assert limited.value.wait_s is not None
        assert 0 < limited.value.wait_s < 30
        await asyncio.sleep(limited.value.wait_s)
        await bot.post(PostText("patient", chat, "y"))

    with serving(DEFAULT_LIMITS) as server:
        asyncio.run(story(server))


def test_a_wrong_password_ends_the_service_with_one_sentence(synapse: Synapse) -> None:
    async def story() -> None:
        async with Person.new(synapse, "plimsoll") as bot:
            matrix = Matrix(synapse.url, bot.user, "not-the-password", rhythm=QUICK)
            with pytest.raises(Misconfigured, match="does not accept this user and password") as caught:
                await matrix.serve(None, Inbox())
            assert "not-the-password" not in caught.value.why
            with pytest.raises(Unavailable, match="does not accept") as waits:
                await matrix.post(PostText("1", "!x:localhost", "x"))
            assert (waits.value.sent, waits.value.wait_s) == ("no", 60.0)
            await matrix.close()

    asyncio.run(story())


def test_signed_out_by_another_we_sign_in_as_the_same_device(
    synapse: Synapse, caplog: pytest.LogCaptureFixture
) -> None:
    async def story() -> None:
        async with invited(synapse) as scene:
            before = scene.account.session.load()
            await scene.bot._account.call(lambda client: client.logout())
            await scene.ann.says(scene.chat, "5")
            await until(lambda: scene.inbox.texts == ["5"])
            after = scene.account.session.load()
            assert before is not None
            assert after is not None
            assert (after.device, after.token == before.token) == (before.device, False)

    asyncio.run(story())
    assert any("signed out" in record.message for record in caplog.records)


def test_another_host_with_the_database_but_no_session_is_the_same_device(synapse: Synapse) -> None:
    async def story() -> None:
        async with invited(synapse) as scene:
            await scene.bot.post(posting := PostText("1", scene.chat, "once"))
            there = Account(synapse, scene.me)
            async with served(there.messenger(), Inbox(), scene.inbox.cursor) as other:
                await until(lambda: other._account.me)
                await other.post(posting)
            assert await scene.ann.reads(scene.chat, scene.me) == ["once"]

    asyncio.run(story())


def test_neither_password_nor_token_is_ever_written_to_a_log(synapse: Synapse) -> None:
    written = io.StringIO()
    handler = logging.StreamHandler(written)
    root, factory = logging.getLogger(), logging.getLogRecordFactory()
    level = root.level
    root.addHandler(handler)
    root.setLevel(logging.DEBUG)
    tokens: list[str] = []

    async def story() -> None:
        async with CuttingProxy(synapse.port) as proxy, invited(synapse, url=proxy.url) as scene:
            kept = scene.account.session.load()
            assert kept is not None
            tokens.append(kept.token)
            logging.getLogger("somebody").warning("careless: %s", kept.token)
            logging.getLogger("somebody").warning("a sign-in: %r", kept)
            proxy.cut(b"/send/")
            with suppress(TimeoutError):
                await asyncio.wait_for(scene.bot.post(PostText("1", scene.chat, "x")), 0.5)
            with suppress(Refused):
                await scene.bot.post(PostText("1", "!no:localhost", "x"))
            scene.inbox.failures = 1
            await scene.ann.says(scene.chat, "5")
            await until(lambda: scene.inbox.texts)

    try:
        keep_out_of_logs(PASSWORD)
        asyncio.run(story())
    finally:
        root.removeHandler(handler)
        root.setLevel(level)
        logging.setLogRecordFactory(factory)
    assert "careless" in written.getvalue()
    assert tokens[0] not in written.getvalue()
    assert PASSWORD not in written.getvalue()


def test_without_a_cursor_only_the_last_day_is_taken(synapse: Synapse) -> None:
    async def story() -> None:
        async with invited(synapse) as scene:
            await scene.ann.says(scene.chat, "5")
            await until(lambda: scene.inbox.texts == ["5"])
            today, tomorrow = Inbox(), Inbox()
            async with served(scene.account.messenger(), today):
                await until(lambda: today.texts == ["5"])
            after = max(one.sent for one in today.envelopes) + RECENT + timedelta(seconds=1)
            late = Matrix(synapse.url, scene.me, PASSWORD, rhythm=QUICK, now=lambda: after)
            async with served(late, tomorrow):
                await asyncio.sleep(0.3)
                await scene.ann.says(scene.chat, "6")
                await until(lambda: tomorrow.texts)
            assert tomorrow.texts == ["6"]

    asyncio.run(story())


@pytest.mark.parametrize(
    "address", ["http://matrix.example", "ftp://127.0.0.1", "matrix.example", "", "http://127.0.0.1.example"]
)
def test_a_password_never_travels_in_clear_text(address: str) -> None:
    with pytest.raises(BadInput, match="PLIMSOLL_MATRIX_HOMESERVER"):
        Matrix(address, "plimsoll", PASSWORD)


def test_a_session_is_kept_in_a_file_that_only_we_may_read(tmp_path: Path) -> None:
    path, sign_in = tmp_path / "session", SignIn("http://x", "bot", "@bot:x", "DEV", "token")
    kept = FileSession(path)
    assert kept.load() is None
    for one in (sign_in, replace(sign_in, token="other")):
        kept.save(one)
        assert stat.S_IMODE(path.stat().st_mode) == 0o600  # before `load`, which would mend it
        assert kept.load() == one
    assert "token" not in repr(sign_in).replace("token=", "")
    path.chmod(0o644)
    assert kept.load() is not None
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [one.name for one in tmp_path.iterdir()] == ["session"]
    for broken in (b"", b"\xff", b"[]", b"{}", b'{"token": 1}', path.read_bytes().replace(b'"other"', b"7")):
        path.write_bytes(broken)
        assert kept.load() is None


def _alone(program: str) -> str:
    """What a fresh interpreter prints."""
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    return done.stdout.strip()


def test_importing_and_constructing_load_no_library() -> None:
    program = "import sys, bot.messengers.matrix as m; m.Matrix('http://127.0.0.1:9', 'a', 'b')"
    assert _alone(f"{program}; print([one for one in ('nio', 'aiohttp') if one in sys.modules])") == "[]"


def test_a_missing_library_is_one_sentence_that_says_what_to_install() -> None:
    program = """
import asyncio, sys
sys.modules["nio"] = None
from bot.messengers import Misconfigured
from bot.messengers.matrix import Matrix
try:
    asyncio.run(Matrix("http://127.0.0.1:9", "a", "b").serve(None, None))
except Misconfigured as error:
    print(error.why)
"""
    assert "install plimsoll[matrix]" in _alone(program)
