"""One beat and one nightly job, driven by APScheduler. It holds no truth: what is due stands in the store."""

import asyncio
import logging
from collections.abc import Awaitable, Callable
from typing import Any

log = logging.getLogger("plimsoll.heartbeat")

BEAT_S = 5
Job = Callable[[], Awaitable[object]]


def heartbeat(tick: Job, nightly: Job) -> Any:
    """A scheduler that is not started yet; late or missed beats are one beat."""
    from apscheduler.schedulers.asyncio import AsyncIOScheduler

    logging.getLogger("apscheduler").setLevel(logging.WARNING)
    scheduler = AsyncIOScheduler(timezone="UTC")
    always = {"coalesce": True, "max_instances": 1, "misfire_grace_time": None}
    scheduler.add_job(_kept_going(tick, "the clock's work"), "interval", seconds=BEAT_S, **always)
    scheduler.add_job(_kept_going(nightly, "the night's plan"), "cron", hour=2, minute=17, **always)
    return scheduler


def _kept_going(job: Job, name: str) -> Job:
    """A beat that fails is logged; the next one comes all the same."""

    async def beat() -> None:
        try:
            await job()
        except asyncio.CancelledError:
            return  # stopped in the midst of it: what is due stays due, and no log needs a traceback for that
        except Exception as error:
            log.error("%s failed and is tried again at the next beat: %s", name, error)

    return beat
