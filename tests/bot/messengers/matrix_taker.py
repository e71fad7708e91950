"""A bot's process of its own, to be killed: stores each batch in a file, and lingers before it moves on."""

import asyncio
import json
import sys
from pathlib import Path

from bot.messengers import Arrival, Batch
from bot.messengers.matrix import Matrix, Rhythm
from bot.messengers.matrix_session import FileSession


async def main(url: str, user: str, password: str, folder: Path) -> None:
    store = folder / "store.jsonl"  # one line a transaction: texts and cursor together
    lines = [json.loads(line) for line in store.read_text().splitlines()] if store.exists() else []

    async def intake(batch: Batch) -> None:
        texts = [(one.message, one.text) for one in batch.envelopes if one.kind is Arrival.TEXT]
        with store.open("a") as file:
            file.write(json.dumps({"cursor": batch.cursor, "texts": texts}) + "\n")
        await asyncio.sleep(0.1)  # most kills come here: stored, not yet confirmed

    matrix = Matrix(url, user, password, FileSession(folder / "session"), rhythm=Rhythm(5.0, 0.05, 5.0))
    await matrix.serve(lines[-1]["cursor"] if lines else None, intake)


if __name__ == "__main__":
    asyncio.run(main(sys.argv[1], sys.argv[2], sys.argv[3], Path(sys.argv[4])))
