"""No secret reaches a log: chatty libraries are silenced and every record is cleaned as it is made."""

import logging
import traceback
from collections.abc import Iterable

CHATTY = ("httpx", "httpcore", "telegram", "nio")  # httpx writes whole addresses, with the token in them, at INFO
HIDDEN = "[secret]"


def clean(text: str, secrets: Iterable[str]) -> str:
    """`text` with each secret replaced."""
    for secret in secrets:
        text = text.replace(secret, HIDDEN)
    return text


def keep_out_of_logs(*secrets: str) -> None:
    """From now on no log record of this process carries one of `secrets`, in its message or its traceback.

    A record factory, not a filter: a filter on a logger misses its children, one on a handler the later handlers.
    """
    hidden = tuple(secret for secret in secrets if secret)
    for name in CHATTY:
        logging.getLogger(name).setLevel(logging.WARNING)
    if not hidden:
        return
    make = logging.getLogRecordFactory()

    def cleaned(*args: object, **kwargs: object) -> logging.LogRecord:
        return _cleaned(make(*args, **kwargs), hidden)

    logging.setLogRecordFactory(cleaned)


def _cleaned(record: logging.LogRecord, hidden: tuple[str, ...]) -> logging.LogRecord:
    try:
        message = record.getMessage()
    except (TypeError, ValueError):
        return record  # a malformed call; logging itself reports it
    if any(secret in message for secret in hidden):
        record.msg, record.args = clean(message, hidden), None
    if record.exc_info and record.exc_info[0] is not None:
        text = "".join(traceback.format_exception(*record.exc_info)).rstrip("\n")
        if any(secret in text for secret in hidden):
            record.exc_text = clean(text, hidden)  # a formatter takes this instead of formatting anew
    return record
