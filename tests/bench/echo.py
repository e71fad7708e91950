"""The library's own way, bare: every text is sent back once; nothing is kept. `python -m tests.bench.echo URL`."""

import logging
import sys

from telegram import Update
from telegram.ext import Application, ContextTypes, MessageHandler, filters


async def echo(update: Update, context: ContextTypes.DEFAULT_TYPE) -> None:
    if update.message is not None and update.message.text is not None:
        await update.message.reply_text(update.message.text)


def main(url: str) -> None:
    logging.getLogger("httpx").setLevel(logging.WARNING)
    application = Application.builder().token("1:TEST").base_url(f"{url}/bot").build()
    application.add_handler(MessageHandler(filters.TEXT, echo))
    application.run_polling()


if __name__ == "__main__":
    main(sys.argv[1])
