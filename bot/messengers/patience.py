"""Waiting for a network or a store to come back: growing waits, and one line in the log for each trouble."""

import asyncio
import logging
from collections.abc import Awaitable, Callable
from typing import TypeVar

from bot.messengers import Batch, Intake, Refused, Unavailable

LONGEST_BACKOFF_S = 60.0
T = TypeVar("T")
Log = logging.Logger


async def healing(act: Callable[[], Awaitable[T]], name: str, log: Log, first_backoff_s: float) -> T:
    """`act`, repeated with growing waits until it succeeds; a failure is said once, and so is its end."""
    wait, said = first_backoff_s, ""
    while True:
        try:
            done = await act()
        except (Unavailable, Refused) as error:
            why, wish = error.why, getattr(error, "wait_s", None)
        else:
            if said:
                log.info("%s: served again", name)
            return done
        if why != said:
            log.warning("%s: %s", name, why)
        said = why
        await asyncio.sleep(wait if wish is None else max(wait, wish))
        wait = min(wait * 2, LONGEST_BACKOFF_S)


async def stored(intake: Intake, batch: Batch, name: str, log: Log) -> None:
    """What the intake cannot store is not confirmed: the network keeps it, and the same batch is offered again."""
    try:
        await intake(batch)
    except Exception as error:
        log.debug("the intake failed", exc_info=True)
        raise Unavailable(f"messages cannot be stored now, {name} keeps them ({error!r})") from error
