"""No secret reaches a log: chatty libraries are silenced and every record is cleaned as it is made."""

import logging
import traceback
from collections.abc import Callable, Iterable

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
    for name in CHATTY:
        logging.getLogger(name).setLevel(logging.WARNING)
    now = logging.getLogRecordFactory()
    known = now.hidden if isinstance(now, _Cleaning) else ()
    hidden = tuple(dict.fromkeys([*known, *(secret for secret in secrets if secret)]))
    if hidden != known:  # one factory for all: a chain of them would grow, and clean a traceback of the last one's only
        logging.setLogRecordFactory(_Cleaning(now.make if isinstance(now, _Cleaning) else now, hidden))


class _Cleaning:
    """A record factory around another."""

    def __init__(self, make: Callable[..., logging.LogRecord], hidden: tuple[str, ...]) -> None:
        self.make, self.hidden = make, hidden

    def __call__(self, *args: object, **kwargs: object) -> logging.LogRecord:
        return _cleaned(self.make(*args, **kwargs), self.hidden)


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
