"""Whole conversations as text, played through the real intake, store, decisions and delivery under a frozen clock.

# a comment
watch mirela okko               every message to these is written down below, in order, and no other comes
day 2026-10-05                  the date that the times below are on (local to whoever speaks)
07:00 .                         time passes, and what is due happens
07:40 mirela > 5 5 4 at 7.5     somebody writes
mirela < Session done. …        what she hears; "…" stands for any text, " / " for a new line

"""

import asyncio
import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from pathlib import Path
from zoneinfo import ZoneInfo

from freezegun import freeze_time
from freezegun.api import FrozenDateTimeFactory

from bot import demo
from bot.clock import SystemClock
from bot.trial import World

SPOKEN = re.compile(r"(\d\d:\d\d) (\S+) > (.*)")
HEARD = re.compile(r"(\S+) < (.*)")


class FrozenClock(SystemClock):
    """The system's clock as freezegun shows it, moved by moving freezegun."""

    def __init__(self, frozen: FrozenDateTimeFactory) -> None:
        self._frozen = frozen

    def move_to(self, instant: datetime) -> None:
        if instant > self.now():
            self._frozen.move_to(instant.astimezone(UTC).replace(tzinfo=None))


@dataclass
class Stage:
    """Who is watched, what they heard and have not been asked about yet, and the date."""

    watched: tuple[str, ...] = ()
    day: date = demo.START

    def __post_init__(self) -> None:
        self.heard: list[tuple[str, str]] = []

    def hears(self, chat: str, text: str) -> None:
        if chat in self.watched:
            self.heard.append((chat, text.replace("\n", " / ")))


def fits(pattern: str, text: str) -> bool:
    """Whether the text is the pattern, "…" standing for anything."""
    return re.fullmatch(".*".join(re.escape(part) for part in pattern.split("…")), text) is not None


def play(path: Path) -> None:
    """Raises AssertionError at the first line that does not come true."""
    start = datetime.combine(demo.START, time(6, 0), ZoneInfo(demo.ZONE)).astimezone(UTC)
    with freeze_time(start.replace(tzinfo=None), real_asyncio=True) as frozen:
        stage = Stage()
        world = World(stage.hears, FrozenClock(frozen)).open()
        try:
            asyncio.run(_play(path, stage, world))
        finally:
            world.close()


async def _play(path: Path, stage: Stage, world: World) -> None:
    for number, raw in enumerate(path.read_text("utf-8").splitlines(), start=1):
        line = raw.strip()
        place = f"{path.name}, line {number}"
        if not line or line.startswith("#"):
            continue
        if line.startswith("watch "):
            stage.watched = tuple(line.split()[1:])
        elif heard := HEARD.fullmatch(line):
            assert stage.heard, f"{place}: {heard[1]} hears nothing, instead of: {heard[2]}"
            who, text = stage.heard.pop(0)
            assert who == heard[1], f"{place}: {who} hears: {text}"
            assert fits(heard[2], text), f"{place}: {who} hears: {text}"
        else:
            assert not stage.heard, f"{place}: before this {stage.heard[0][0]} hears: {stage.heard[0][1]}"
            await _happens(line, place, stage, world)
    assert not stage.heard, f"{path.name}, at the end {stage.heard[0][0]} hears: {stage.heard[0][1]}"


async def _happens(line: str, place: str, stage: Stage, world: World) -> None:
    if line.startswith("day "):
        stage.day = date.fromisoformat(line.removeprefix("day "))
    elif spoken := SPOKEN.fullmatch(line):
        await world.until(_instant(stage, spoken[1]))
        await world.hear(spoken[2], spoken[3].replace("\\n", "\n"))
    elif passed := re.fullmatch(r"(\d\d:\d\d) \.", line):
        await world.until(_instant(stage, passed[1]))
    else:
        raise AssertionError(f"{place}: not understood: {line}")


def _instant(stage: Stage, wall: str) -> datetime:
    return datetime.combine(stage.day, time.fromisoformat(wall), ZoneInfo(demo.ZONE)).astimezone(UTC)
