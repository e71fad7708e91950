import subprocess
import sys

from bot.redaction import clean

SCRIPT = """
import logging, sys
from bot.redaction import keep_out_of_logs
{before}
logging.basicConfig(level=logging.DEBUG, stream=sys.stdout, force=True)
log = logging.getLogger("anything.below")
log.info("asked https://api/bot%s/getMe", "1:SECRET")
log.warning("plain 1:SECRET")
log.info({{"address": "bot1:SECRET"}})
try:
    raise RuntimeError("The token `1:SECRET` was rejected")
except RuntimeError:
    log.exception("failed")
logging.getLogger("httpx").info("HTTP Request: POST /bot1:SECRET/getMe")
log.info("%d", "malformed")
log.info("harmless %s", "words")
"""


def _printed(before: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT.format(before=before)], capture_output=True, text=True, check=True
    )
    return done.stdout


def test_no_record_carries_the_secret_and_all_else_stays() -> None:
    printed = _printed('keep_out_of_logs("1:SECRET", "")')
    assert "SECRET" not in printed
    assert printed.count("[secret]") == 4
    assert "RuntimeError" in printed
    assert "harmless words" in printed
    assert "HTTP Request" not in printed


def test_secrets_that_come_one_by_one_are_all_kept_out_without_end() -> None:
    script = """
import logging, sys
from bot.redaction import keep_out_of_logs
logging.basicConfig(stream=sys.stdout)
for number in range(3000):
    keep_out_of_logs(f"S{number % 7}-SECRET")
try:
    raise RuntimeError("S1-SECRET and S2-SECRET")
except RuntimeError:
    logging.exception("failed with S3-SECRET")
"""
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.count("[secret]") == 3
    assert "SECRET" not in done.stdout + done.stderr


def test_without_it_the_secret_would_be_there() -> None:
    assert _printed("").count("SECRET") >= 5


def test_clean() -> None:
    assert clean("a 1:S b 1:S, T", ["1:S", "T"]) == "a [secret] b [secret], [secret]"
