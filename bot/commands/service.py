"""`plimsoll run`: serve every messenger that is configured until stopped."""

import argparse
import asyncio

from bot.commands.common import Options
from core.problems import refuse

EXAMPLE = "  PLIMSOLL_TELEGRAM_TOKEN_FILE=/run/secrets/token plimsoll run"


def parser(name: str) -> Options:
    return Options(name, "Serve every messenger that is configured, until SIGTERM or Ctrl-C.", EXAMPLE)


def run(options: argparse.Namespace) -> int:
    from bot.app import serve
    from bot.config import settings

    wanted = settings()
    if wanted.telegram is None and wanted.matrix is None:
        mend = "set PLIMSOLL_TELEGRAM_TOKEN, or PLIMSOLL_MATRIX_HOMESERVER, _USER and _PASSWORD; or use “plimsoll try”"
        raise refuse("settings", "no messenger is configured", mend)
    asyncio.run(serve(wanted))
    return 0
