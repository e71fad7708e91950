"""Time as a port: the system's, or one that is set by hand (trial, tests, simulation)."""

import asyncio
from datetime import UTC, datetime, timedelta
from typing import Protocol


class Clock(Protocol):
    """The instant (aware, UTC) and a way to wait."""

    def now(self) -> datetime: ...

    async def sleep(self, seconds: float) -> None: ...


class MovableClock(Clock, Protocol):
    """A clock that somebody else moves."""

    def move_to(self, instant: datetime) -> None: ...


class SystemClock:
    """The machine's clock."""

    def now(self) -> datetime:
        return datetime.now(UTC)

    async def sleep(self, seconds: float) -> None:
        await asyncio.sleep(seconds)


class HandClock:
    """A clock that moves only when it is told; sleeping moves it."""

    def __init__(self, instant: datetime) -> None:
        self._instant = instant

    def now(self) -> datetime:
        return self._instant

    def move_to(self, instant: datetime) -> None:
        self._instant = max(self._instant, instant)

    async def sleep(self, seconds: float) -> None:
        self._instant += timedelta(seconds=seconds)
        await asyncio.sleep(0)
