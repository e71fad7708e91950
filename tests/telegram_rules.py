"""The official Bot API's rules that a bot can break, for the double: limits in time, lengths, fixed lists.

Sources: the Bot API documentation (lengths, callback_data, retry_after) and the bots FAQ (30/s, 1/s a chat, 20/min a
group). Wording of the errors: as the official server answers, from memory; the client decides by code and key words.
"""

import json
import re
from collections import deque
from dataclasses import dataclass, field
from typing import Any

from telegram.constants import ReactionEmoji

Params = dict[str, Any]
REACTIONS = frozenset(str(emoji) for emoji in ReactionEmoji)


class ApiError(Exception):
    """What the server answers instead of a result."""

    def __init__(self, code: int, description: str, **parameters: int) -> None:
        super().__init__(description)
        self.code, self.description, self.parameters = code, description, parameters


def bad(description: str, **parameters: int) -> ApiError:
    return ApiError(400, f"Bad Request: {description}", **parameters)


@dataclass
class Pace:
    """Calls allowed in any window: `per_s` of all chats, one chat, one group a minute. None: no limit."""

    bot_per_s: int | None = 30
    chat_per_s: int | None = 1
    group_per_min: int | None = 20
    seconds: float = 1.0  # scaled down where a test has no time
    chat_seconds: float = 1.0
    recent: dict[str, deque[float]] = field(default_factory=dict)
    parked: dict[str, float] = field(default_factory=dict)
    too_fast: list[str] = field(default_factory=list)  # what was answered 429
    early: list[str] = field(default_factory=list)  # a call before its own retry_after had passed: never allowed

    def admit(self, chat: str, now: float) -> None:
        """Count this call, or refuse it with the time after which it may come again."""
        for key in ("bot", chat):
            if self.parked.get(key, now) > now:
                self.early.append(f"{key} called {self.parked[key] - now:.3f} s before its time")
        checks = [("bot", self.bot_per_s, self.seconds, "bot"), (chat, self.chat_per_s, self.chat_seconds, chat)]
        if chat.startswith("-"):
            checks.append((f"{chat}/min", self.group_per_min, 60.0, chat))
        for key, count, window, parked in checks:
            self._check(key, count, window, parked, now)
        for key, count, _, _ in checks:
            if count is not None:
                self.recent[key].append(now)

    def _check(self, key: str, count: int | None, window: float, parked: str, now: float) -> None:
        if count is None:
            return
        times = self.recent.setdefault(key, deque())
        while times and times[0] <= now - window:
            times.popleft()
        if len(times) >= count:
            wait = int(times[0] + window - now) + 1
            self.parked[parked] = now + wait
            self.too_fast.append(key)
            raise ApiError(429, f"Too Many Requests: retry after {wait}", retry_after=wait)


def units(text: str) -> int:
    return len(text.encode("utf-16-le", "surrogatepass")) // 2


def check_text(text: str) -> None:
    if not text.strip():
        raise bad("message text is empty")
    if units(text) > 4096:
        raise bad("message is too long")


def check_caption(text: str) -> None:
    if units(text) > 1024:
        raise bad("message caption is too long")


def check_keyboard(markup: Params | None) -> None:
    for row in (markup or {}).get("inline_keyboard", []):
        for button in row:
            if not button.get("text", "").strip():
                raise bad("inline keyboard button text must be non-empty")
            if not 1 <= len(button.get("callback_data", "").encode()) <= 64:
                raise bad("BUTTON_DATA_INVALID")


def check_reaction(reaction: list[Params]) -> None:
    if len(reaction) > 1:
        raise bad("REACTIONS_TOO_MANY")
    if any(one.get("emoji") not in REACTIONS for one in reaction):
        raise bad("REACTION_INVALID")


def check_commands(commands: list[Params]) -> None:
    for one in commands:
        if not re.fullmatch(r"[a-z0-9_]{1,32}", one["command"]) or not 1 <= len(one["description"]) <= 256:
            raise bad("BOT_COMMAND_INVALID")


def parsed(params: Params) -> Params:
    """Form fields as the values they stand for: nested ones travel as JSON."""
    nested = ("reply_markup", "reaction", "commands", "scope", "allowed_updates", "link_preview_options")
    return {
        key: json.loads(value) if key in nested and isinstance(value, str) else value for key, value in params.items()
    }
