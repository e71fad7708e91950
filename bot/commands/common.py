"""What commands share: options, files, and JSON in and out. Their mistakes become one sentence each."""

import argparse
import json
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NoReturn

from core.problems import refuse
from core.training import Json

LARGEST_FILE = 16 * 1024 * 1024


class Options(argparse.ArgumentParser):
    """An option parser whose complaints are ours: one sentence, exit 2."""

    def __init__(self, name: str, purpose: str, example: str) -> None:
        super().__init__(
            prog=name,
            description=purpose,
            epilog=f"example:\n{example}",
            formatter_class=argparse.RawDescriptionHelpFormatter,
            allow_abbrev=False,
        )
        self.add_argument("--json", action="store_true", help="print JSON and nothing else, also on a terminal")

    def error(self, message: str) -> NoReturn:
        raise refuse(self.prog, message, f"see “{self.prog} --help”")


def emit(value: object) -> None:
    """One JSON value on one line of stdout, flushed."""
    text = json.dumps(value, ensure_ascii=False, separators=(", ", ": "), allow_nan=False)
    write(text + "\n")


def write(text: str) -> None:
    """UTF-8 on stdout whatever the locale; what cannot be encoded is shown as a question mark."""
    sys.stdout.flush()
    sys.stdout.buffer.write(text.encode("utf-8", errors="replace"))
    sys.stdout.buffer.flush()


def wants_json(options: argparse.Namespace) -> bool:
    """JSON on request, and wherever no person reads: on a pipe or into a file."""
    return bool(options.json) or not sys.stdout.isatty()


def text_of(path: str) -> str:
    """A whole text file; "-" is standard input."""
    if path == "-":
        return sys.stdin.buffer.read(LARGEST_FILE + 1).decode("utf-8", errors="replace")
    try:
        with Path(path).open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except OSError as error:
        raise refuse(
            path, f"cannot be read ({(error.strerror or 'unreadable').lower()})", "name a readable file"
        ) from None
    if len(data) > LARGEST_FILE:
        raise refuse(path, "is larger than 16 MB", "split it")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise refuse(path, f"is not UTF-8 text (byte {error.start})", "save it as UTF-8") from None


def parsed(text: str, where: str) -> Any:
    """The JSON value of a text; whatever is wrong with it is named by line and column."""
    try:
        return json.loads(text, parse_constant=_no_constant)
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise refuse(where, f"is not JSON at {place} ({error.msg.lower()})", "mend it there") from None
    except (ValueError, RecursionError):
        raise refuse(where, "holds a number or a nesting no file needs", "write plain JSON") from None


def _no_constant(name: str) -> NoReturn:
    raise ValueError(name)


def object_of(text: str, where: str) -> Json:
    """Like `parsed`, for a JSON object."""
    value = parsed(text, where)
    if not isinstance(value, dict):
        raise refuse(where, "is not a JSON object", "write {…}")
    return value


def lines() -> Iterator[tuple[int, str]]:
    """Standard input line by line, numbered from 1, as soon as each is there."""
    for number, raw in enumerate(iter(sys.stdin.buffer.readline, b""), start=1):
        yield number, raw.rstrip(b"\n").removesuffix(b"\r").decode("utf-8", errors="replace")


def for_each_line(answer: Callable[[Json, str], Json]) -> int:
    """`--jsonl`: one JSON object a line in, one answer a line out, each flushed before the next is read."""
    for number, text in lines():
        if text.strip():
            where = f"line {number}"
            emit(answer(object_of(text, where), where))
    return 0
