"""The menu of commands in one kind of chat, at most eight of them: a menu, not access control."""

from dataclasses import dataclass
from typing import Any

MENU_LIMIT = 8


@dataclass(frozen=True, slots=True)
class Menu:
    """The commands shown in one kind of chat: `scope` is "private", "groups", or the id of a coach's chat.

    `commands`: (name, what it does). `language` None: for every language that has no menu of its own.
    """

    scope: str
    commands: tuple[tuple[str, str], ...]
    language: str | None = None

    def __post_init__(self) -> None:
        if len(self.commands) > MENU_LIMIT:
            raise ValueError(f"a menu has at most {MENU_LIMIT} commands, not {len(self.commands)}")

    def to_wire(self) -> dict[str, Any]:
        """What `setMyCommands` takes."""
        scope: dict[str, Any] = {"type": "chat", "chat_id": self.scope}
        if self.scope in ("private", "groups"):
            scope = {"type": "all_private_chats" if self.scope == "private" else "all_group_chats"}
        commands = [{"command": name, "description": about} for name, about in self.commands]
        return {"commands": commands, "scope": scope, "language_code": self.language}
