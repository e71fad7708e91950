"""What a bot can do at the double, with the official server's refusals, and what it leaves to be looked at."""

import itertools
import time
from collections.abc import Callable
from dataclasses import dataclass, field

from tests.telegram_rules import Params, bad, check_caption, check_commands, check_keyboard, check_reaction, check_text

SAME = (
    "message is not modified: specified new message content and reply markup are exactly the same "
    "as a current content and reply markup of the message"
)


@dataclass
class Sent:
    """One call of the bot that took effect."""

    method: str
    chat: str
    params: Params
    message: int
    at: float

    @property
    def text(self) -> str:
        return str(self.params.get("text", self.params.get("caption", "")))


@dataclass
class Verbs:
    """`_do_METHOD(chat, params)` for every method of the API that a bot here may use."""

    username: str = "plimsoll_test_bot"
    clock: Callable[[], float] = time.monotonic
    webhook: str = ""
    sent: list[Sent] = field(default_factory=list)
    answered: list[str] = field(default_factory=list)  # callback queries
    menus: list[Params] = field(default_factory=list)
    members: dict[str, int] = field(default_factory=dict)  # of groups
    messages: dict[tuple[str, int], Params] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.open_queries: set[str] = set()
        self._numbers = itertools.count(1001)

    def _do_getMe(self, chat: str, params: Params) -> Params:
        names = {"id": 1, "is_bot": True, "first_name": "Plimsoll", "username": self.username}
        return names | {"can_join_groups": True, "can_read_all_group_messages": False}

    def _do_sendMessage(self, chat: str, params: Params) -> Params:
        check_text(params.get("text", ""))
        return self._send("sendMessage", chat, params, {"text": params["text"]})

    def _do_sendPhoto(self, chat: str, params: Params) -> Params:
        check_caption(params.get("caption", ""))
        if not params.get("photo"):
            raise bad("there is no photo in the request")
        photo = [{"file_id": "P", "file_unique_id": "p", "width": 1, "height": 1}]
        return self._send("sendPhoto", chat, params, {"photo": photo, "caption": params.get("caption", "")})

    def _do_copyMessage(self, chat: str, params: Params) -> Params:
        check_caption(params.get("caption", ""))
        if not params.get("from_chat_id") or not params.get("message_id"):
            raise bad("message to copy not found")
        return self._send("copyMessage", chat, params, {"caption": params.get("caption", "")})

    def _send(self, method: str, chat: str, params: Params, content: Params) -> Params:
        check_keyboard(params.get("reply_markup"))
        number = next(self._numbers)
        message = {"message_id": number, "date": int(time.time()), "chat": self._chat(chat), **content}
        message["from"] = {"id": 1, "is_bot": True, "first_name": "Plimsoll"}
        if "reply_markup" in params:
            message["reply_markup"] = params["reply_markup"]
        self.messages[chat, number] = message
        self.sent.append(Sent(method, chat, params, number, self.clock()))
        return message

    def _do_editMessageText(self, chat: str, params: Params) -> Params:
        check_text(params.get("text", ""))
        return self._edit("editMessageText", chat, params, "text")

    def _do_editMessageCaption(self, chat: str, params: Params) -> Params:
        check_caption(params.get("caption", ""))
        return self._edit("editMessageCaption", chat, params, "caption")

    def _edit(self, method: str, chat: str, params: Params, part: str) -> Params:
        check_keyboard(params.get("reply_markup"))
        message = self.messages.get((chat, int(params["message_id"])))
        if message is None:
            raise bad("message to edit not found")
        if message["from"]["id"] != 1:
            raise bad("message can't be edited")
        if part not in message:
            raise bad(f"there is no {part} in the message to edit")
        if message[part] == params[part] and message.get("reply_markup") == params.get("reply_markup"):
            raise bad(SAME)
        message[part] = params[part]
        message["reply_markup"] = params.get("reply_markup")
        self.sent.append(Sent(method, chat, params, message["message_id"], self.clock()))
        return message

    def _do_setMessageReaction(self, chat: str, params: Params) -> bool:
        check_reaction(params.get("reaction", []))
        return self._about("setMessageReaction", chat, params, "message to react not found")

    def _do_pinChatMessage(self, chat: str, params: Params) -> bool:
        return self._about("pinChatMessage", chat, params, "message to pin not found")

    def _about(self, method: str, chat: str, params: Params, missing: str) -> bool:
        if (chat, int(params["message_id"])) not in self.messages:
            raise bad(missing)
        self.sent.append(Sent(method, chat, params, int(params["message_id"]), self.clock()))
        return True

    def _do_answerCallbackQuery(self, chat: str, params: Params) -> bool:
        if params["callback_query_id"] not in self.open_queries:
            raise bad("query is too old and response timeout expired or query ID is invalid")
        self.open_queries.discard(params["callback_query_id"])
        self.answered.append(params["callback_query_id"])
        return True

    def _do_setMyCommands(self, chat: str, params: Params) -> bool:
        check_commands(params["commands"])
        self.menus.append(params)
        return True

    def _do_deleteWebhook(self, chat: str, params: Params) -> bool:
        self.webhook = ""
        return True

    def _do_getChatMemberCount(self, chat: str, params: Params) -> int:
        return self.members.get(chat, 2)

    def _chat(self, chat: str) -> Params:
        number = int(chat)
        if number > 0:
            return {"id": number, "type": "private", "first_name": f"Person {number}"}
        return {"id": number, "type": "supergroup" if number < -(10**12) else "group", "title": "Club"}
