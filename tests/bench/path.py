"""The durable path beside a bare echo of the same library on the same double: `python -m tests.bench.path`.

Printed for each: processor time per reply (of the bot's process alone), replies per second with 0 and 50 ms of
network, and for ours the commits per burst of 100. Ratios of one run count; the machine's own speed does not.
"""

import json
import os
import signal
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from tempfile import TemporaryDirectory

from tests.bot.running_service import found

CHATS = 25
SENDS = ("sendMessage", "sendPhoto", "editMessageText", "editMessageCaption", "setMessageReaction")
TICKS = os.sysconf("SC_CLK_TCK")


@dataclass(frozen=True)
class Measured:
    """One bot's burst: processor seconds and wall seconds for so many messages, and what it called."""

    messages: int
    cpu_s: float
    wall_s: float
    calls: dict[str, int]

    @property
    def cpu_ms(self) -> float:
        return 1000 * self.cpu_s / self.messages

    @property
    def per_s(self) -> float:
        return self.messages / self.wall_s


@contextmanager
def process(*command: str, **env: str) -> Iterator[subprocess.Popen[str]]:
    running = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=os.environ | env)
    try:
        yield running
    finally:
        running.terminate()
        running.wait(15)


@contextmanager
def double(latency_s: float) -> Iterator[str]:
    with process(sys.executable, "-m", "tests.bench.double_server", str(latency_s)) as running:
        assert running.stdout is not None
        yield running.stdout.readline().strip()


def ask(url: str, body: object = None) -> dict[str, object]:
    data = None if body is None else json.dumps(body).encode()
    request = urllib.request.Request(url, data, {"Content-Type": "application/json"})
    with urllib.request.urlopen(request, timeout=10) as answer:
        return dict(json.load(answer))


def cpu_s(pid: int) -> float:
    """User and system time so far, of all threads."""
    with open(f"/proc/{pid}/stat") as stat:
        fields = stat.read().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / TICKS


def answered(url: str) -> dict[str, int]:
    counts = ask(f"{url}/counts")["counts"]
    assert isinstance(counts, dict)
    return {str(key): int(value) for key, value in counts.items()}


def burst(
    url: str, pid: int, texts: Sequence[str], chats: Sequence[int], done: Callable[[dict[str, int]], int]
) -> Measured:
    """Everybody says all of `texts` at once; until `done` counts an answer to each."""
    before, cpu, start = answered(url), cpu_s(pid), time.monotonic()
    wanted = done(before) + len(texts) * len(chats)
    ask(f"{url}/say", {"chats": list(chats), "texts": list(texts)})
    while done(now := answered(url)) < wanted:
        assert time.monotonic() - start < 120, now
        time.sleep(0.02)
    wall = time.monotonic() - start
    calls = {key: now[key] - before.get(key, 0) for key in now}
    return Measured(len(texts) * len(chats), cpu_s(pid) - cpu, wall, calls)


def messages_sent(counts: dict[str, int]) -> int:
    return counts.get("sendMessage", 0)


def messages_marked(counts: dict[str, int]) -> int:
    """Our service answers every set with a mark; what it says beside is work on top."""
    return counts.get("setMessageReaction", 0)


def echo(latency_s: float, texts: Sequence[str]) -> Measured:
    with double(latency_s) as url, process(sys.executable, "-m", "tests.bench.echo", url) as bot:
        chats = range(1, CHATS + 1)
        burst(url, bot.pid, ["3", "4"], chats, messages_sent)
        return burst(url, bot.pid, texts, chats, messages_sent)


def durable(latency_s: float, texts: Sequence[str]) -> tuple[Measured, int]:
    """Our path, and how many transactions committed during the burst."""
    chats = list(range(1, CHATS + 1))
    with TemporaryDirectory() as folder, double(latency_s) as url:
        database = f"sqlite:///{folder}/plimsoll.db"
        found(database, chats)
        with process(sys.executable, "-m", "tests.bench.durable", url, database) as bot:
            burst(url, bot.pid, ["3", "4"], chats, messages_marked)
            before = commits(bot)
            measured = burst(url, bot.pid, texts, chats, messages_marked)
            return measured, commits(bot) - before


def commits(bot: subprocess.Popen[str]) -> int:
    bot.send_signal(signal.SIGUSR1)
    assert bot.stdout is not None
    return int(bot.stdout.readline())


def main() -> None:
    for latency_s in (0.0, 0.05):
        texts = ["5", "4", "5", "4"]  # 100 messages of 25 athletes at once
        bare = echo(latency_s, texts)
        ours, written = durable(latency_s, texts)
        print(f"{1000 * latency_s:.0f} ms of network, {bare.messages} messages at once from {CHATS} chats")
        for name, one in (("echo", bare), ("ours", ours)):
            print(f"  {name}: {one.cpu_ms:.2f} ms of processor a message, {one.per_s:.0f} answers/s, calls {one.calls}")
        print(f"  ratio of processor time {ours.cpu_ms / bare.cpu_ms:.2f}, commits {written}")


if __name__ == "__main__":
    main()
