"""A thousand sets reported while the service is killed fifty times at work: `python -m tests.bench.kills [KILLS]`.

Printed: whether each set is on record exactly once and in order, and how many marks came twice, beside the bound: what
can have been under way at the kills.
"""

import asyncio
import random
import sys
from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.bot.running_service import Running, found, sets_on_record, states
from tests.telegram_double import TelegramDouble

CHATS, SETS = 100, 10
UNDER_WAY = 16  # sends at once, as the service is put together
SEED = 20261005


async def story(folder: Path, kills: int) -> None:
    chance = random.Random(SEED)
    async with TelegramDouble(latency_s=0.02) as double:
        service = Running(folder, double.url, PLIMSOLL_LOG_LEVEL="WARNING")
        found(service.url, list(range(1, CHATS + 1)))
        service.start()
        said: dict[str, list[int]] = {f"a{chat}": [] for chat in range(1, CHATS + 1)}
        lives = CHATS * SETS // kills
        for _ in range(kills):
            calls = len(double.calls)
            for _ in range(lives):
                shortest = min(len(reps) for reps in said.values())
                chat = chance.choice([name for name, reps in said.items() if len(reps) == shortest])
                reps = chance.randint(1, 12)
                said[chat].append(reps)
                double.says(int(chat[1:]), str(reps))
            await double.until(lambda calls=calls: len(double.calls) > calls + 5, 30)  # visibly at work
            await asyncio.sleep(chance.uniform(0.0, 0.3))
            service.kill()
            service.start()
        await double.until(lambda: sets_on_record(service.url) == said, 60)
        await double.until(lambda: not {"waiting", "begun"} & states(service.url, "outbox").keys(), 300)
        await asyncio.to_thread(service.stop)
        report(double, service, said, kills)


def report(double: TelegramDouble, service: Running, said: dict[str, list[int]], kills: int) -> None:
    marks = Counter((one.chat, one.message) for one in double.sent if one.method == "setMessageReaction")
    twice = sum(count - 1 for count in marks.values())
    exact = sets_on_record(service.url) == said
    print(f"{kills} kills, {sum(len(reps) for reps in said.values())} sets reported by {CHATS} athletes")
    print(f"on record exactly once and in order: {'yes' if exact else 'NO'}; inbox {states(service.url, 'inbox')}")
    print(f"marked: {len(marks)} messages; marks that came twice: {twice}, bound {kills * UNDER_WAY}")
    print(f"calls before their time: {len(double.pace.early)}; refused for haste: {len(double.pace.too_fast)}")


if __name__ == "__main__":
    with TemporaryDirectory() as folder:
        asyncio.run(story(Path(folder), int(sys.argv[1]) if len(sys.argv) > 1 else 50))
