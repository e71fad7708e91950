"""What fits into one Telegram message. Telegram counts UTF-16 units; pure."""

from collections.abc import Iterator, Sequence
from typing import Any

from bot.messengers import PostButton, Refused

TEXT_LIMIT = 4096
CAPTION_LIMIT = 1024
TOKEN_LIMIT = 64  # bytes of callback_data
ROW_WIDTH = 24  # characters of buttons beside each other on a narrow phone


def keyboard(buttons: Sequence[PostButton]) -> dict[str, Any]:
    """The buttons under a message, short ones beside each other."""
    for button in buttons:
        if not 1 <= len(button.token.encode()) <= TOKEN_LIMIT or not button.label.strip():
            raise Refused(f"a button needs words and a token of 1 to {TOKEN_LIMIT} bytes: {button.label!r}")
    return {
        "inline_keyboard": [
            [{"text": button.label, "callback_data": button.token} for button in row] for row in _rows(buttons)
        ]
    }


def _rows(buttons: Sequence[PostButton]) -> Iterator[list[PostButton]]:
    row: list[PostButton] = []
    for button in buttons:
        if row and sum(len(one.label) for one in (*row, button)) > ROW_WIDTH:
            yield row
            row = []
        row.append(button)
    if row:
        yield row
