"""A Bot API server on loopback that follows the official rules, for the real client to talk to.

`async with TelegramDouble() as double:` serves in this event loop; `double.url` is the API's address. People and
groups act through `says`, `edits`, `taps`, `blocks`, `upgrades`; `double.sent` holds what the bot did, in order.
"""

import asyncio
import itertools
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, Self

from aiohttp import web

from tests.telegram_rules import ApiError, Pace, Params, bad, parsed
from tests.telegram_verbs import Verbs

KICKED = "terminated by other getUpdates request; make sure that only one bot instance is running"
HOOKED = "can't use getUpdates method while webhook is active; use deleteWebhook to delete the webhook first"
UNCOUNTED = ("answerCallbackQuery", "setMyCommands", "getMe", "getChat", "getChatMemberCount", "deleteWebhook")


@dataclass
class TelegramDouble(Verbs):
    token: str = "1:TEST"
    pace: Pace = field(default_factory=Pace)
    port: int = 0
    latency_s: float = 0.0
    calls: list[tuple[str, Params]] = field(default_factory=list)  # every call, refused ones too
    offsets: list[int | None] = field(default_factory=list)  # of each getUpdates
    blocked: dict[str, str] = field(default_factory=dict)
    moved: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        super().__post_init__()
        self.known: set[str] = set()
        self.updates: list[Params] = []
        self.plans: list[tuple[str, str, ApiError | None]] = []  # (method, "cut" | "hang" | "fail", error)
        self._update_numbers = itertools.count(500_001)
        self._poll: asyncio.Future[None] | None = None
        self._news = asyncio.Event()
        self.url = ""

    # --- serving --------------------------------------------------------------------------------------

    async def __aenter__(self) -> Self:
        app = web.Application(client_max_size=60 * 2**20)
        app.router.add_route("*", "/bot{token}/{method}", self._answer)
        self.routes(app)
        self._runner = web.AppRunner(app, access_log=None, shutdown_timeout=0.2)
        await self._runner.setup()
        site = web.TCPSite(self._runner, "127.0.0.1", self.port)
        await site.start()
        self.port = self._runner.addresses[0][1]
        self.url = f"http://127.0.0.1:{self.port}"
        return self

    def routes(self, app: web.Application) -> None:
        """Further addresses, for one who steers it from another process."""

    async def __aexit__(self, *_: object) -> None:
        if self._poll is not None and not self._poll.done():
            self._poll.cancel()
        await self._runner.cleanup()

    async def _answer(self, request: web.Request) -> web.StreamResponse:
        try:
            method, params = request.match_info["method"], await _fields(request)
        except ConnectionResetError:  # the bot was killed in the midst of asking
            return web.Response(status=400)
        plan = self._planned(method)
        try:
            if request.match_info["token"] != self.token:
                raise ApiError(401, "Unauthorized")
            if plan is not None and plan[2] is not None:
                raise plan[2]
            result = await self._act(method, params)
        except ApiError as error:
            body = {"ok": False, "error_code": error.code, "description": error.description}
            if error.parameters:
                body["parameters"] = error.parameters
            return web.json_response(body, status=error.code)
        if method != "getUpdates" and self.latency_s:
            await asyncio.sleep(self.latency_s)
        if plan is not None and request.transport is not None:
            if plan[1] == "hang":
                await asyncio.sleep(5)
            request.transport.abort()  # the work is done, the answer never arrives
        return web.json_response({"ok": True, "result": result})

    def _planned(self, method: str) -> tuple[str, str, ApiError | None] | None:
        for plan in self.plans:
            if plan[0] == method:
                self.plans.remove(plan)
                return plan
        return None

    def cut(self, method: str, times: int = 1) -> None:
        """The next `times` calls of `method` do their work, and the connection breaks before the answer."""
        self.plans += [(method, "cut", None)] * times

    def hang(self, method: str) -> None:
        """The next call of `method` does its work, and no answer comes for five seconds."""
        self.plans.append((method, "hang", None))

    def fail(self, method: str, code: int, description: str, times: int = 1, **parameters: int) -> None:
        """The next `times` calls of `method` do nothing and are answered with this error."""
        self.plans += [(method, "fail", ApiError(code, description, **parameters))] * times

    async def _act(self, method: str, params: Params) -> Any:
        self.calls.append((method, params))
        if method == "getUpdates":
            return await self._get_updates(params)
        chat = str(params.get("chat_id", ""))
        if chat and method not in UNCOUNTED:
            self.pace.admit(chat, self.clock())
            self._reachable(chat)
        act = getattr(self, f"_do_{method}", None)
        if act is None:
            raise ApiError(404, "Not Found")
        return act(chat, params)

    def _reachable(self, chat: str) -> None:
        if chat in self.moved:
            new = self.moved[chat]
            raise bad("group chat was upgraded to a supergroup chat", migrate_to_chat_id=new)
        if chat in self.blocked:
            raise ApiError(403, f"Forbidden: {self.blocked[chat]}")
        if chat not in self.known:
            if chat.startswith("-"):
                raise bad("chat not found")
            raise ApiError(403, "Forbidden: bot can't initiate conversation with a user")

    async def _get_updates(self, params: Params) -> list[Params]:
        offset = int(params["offset"]) if "offset" in params else None
        self.offsets.append(offset)
        if self.webhook:
            raise ApiError(409, f"Conflict: {HOOKED}")
        if self._poll is not None and not self._poll.done():
            self._poll.set_result(None)
        mine = self._poll = asyncio.get_running_loop().create_future()
        if offset is not None:
            self.updates = [one for one in self.updates if one["update_id"] >= offset]
        deadline = time.monotonic() + float(params.get("timeout", 0))
        while not self.updates and time.monotonic() < deadline:
            self._news.clear()
            news = asyncio.ensure_future(self._news.wait())
            await asyncio.wait({news, mine}, timeout=deadline - time.monotonic(), return_when="FIRST_COMPLETED")
            news.cancel()
            if mine.done():
                raise ApiError(409, f"Conflict: {KICKED}")
        if not mine.done():
            mine.set_result(None)
        return self.updates[: int(params.get("limit", 100))]

    # --- what people do -------------------------------------------------------------------------------

    def push(self, kind: str, content: Params) -> Params:
        """Any update; nothing is checked."""
        update = {"update_id": next(self._update_numbers), kind: content}
        return self.push_again(update)

    def push_again(self, update: Params) -> Params:
        self.updates.append(update)
        self._news.set()
        return update

    def says(self, chat: int, text: str, sender: int | None = None, **more: Any) -> Params:
        """A person writes: in their private chat (their own id), or in a group as `sender`."""
        self.known.add(str(chat))
        message = {"message_id": next(self._numbers), "date": int(time.time()), "chat": self._chat(str(chat))}
        message |= {"from": person(chat if sender is None else sender), "text": text, **more}
        self.messages[str(chat), message["message_id"]] = message
        self.push("message", message)
        return message

    def edits(self, message: Params, text: str, edit_date: int | None = None) -> Params:
        edited = message | {"text": text, "edit_date": int(time.time()) if edit_date is None else edit_date}
        self.messages[str(message["chat"]["id"]), message["message_id"]] = edited
        self.push("edited_message", edited)
        return edited

    def taps(self, chat: int, message: int, token: str, sender: int | None = None) -> str:
        query = f"q{next(self._numbers)}"
        self.open_queries.add(query)
        shown = self.messages[str(chat), message]
        who = person(chat if sender is None else sender)
        self.push("callback_query", {"id": query, "from": who, "message": shown, "chat_instance": "1", "data": token})
        return query

    def blocks(self, chat: int) -> None:
        self.blocked[str(chat)] = "bot was blocked by the user" if chat > 0 else "bot was kicked from the group chat"
        self._member(chat, "member", "kicked")

    def unblocks(self, chat: int) -> None:
        del self.blocked[str(chat)]
        self._member(chat, "kicked", "member")

    def _member(self, chat: int, was: str, now: str) -> None:
        me = {"id": 1, "is_bot": True, "first_name": "Plimsoll"}
        change = {"chat": self._chat(str(chat)), "from": person(abs(chat)), "date": int(time.time())}
        change |= {"old_chat_member": {"status": was, "user": me}, "new_chat_member": {"status": now, "user": me}}
        self.push("my_chat_member", change)

    def upgrades(self, chat: int) -> int:
        """A group becomes a supergroup with an id of its own; both chats say so."""
        new = -1_000_000_000_000 - abs(chat)
        self.moved[str(chat)] = new
        self.known |= {str(chat), str(new)}
        common = {"date": int(time.time()), "from": person(77)}
        old_chat, new_chat = {"id": chat, "type": "group"}, {"id": new, "type": "supergroup"}
        self.push("message", common | {"message_id": next(self._numbers), "chat": old_chat, "migrate_to_chat_id": new})
        self.push("message", common | {"message_id": 1, "chat": new_chat, "migrate_from_chat_id": chat})
        return new

    # --- what a test waits for ------------------------------------------------------------------------

    def texts(self, chat: int) -> list[str]:
        return [one.text for one in self.sent if one.chat == str(chat) and one.text]

    async def until(self, holds: Callable[[], bool], within_s: float = 5.0) -> None:
        """Wait until `holds()`, or fail the test."""
        deadline = time.monotonic() + within_s
        while not holds():
            assert time.monotonic() < deadline, (
                f"not within {within_s} s; the bot did {[one.method for one in self.sent]}"
            )
            await asyncio.sleep(0.005)


def person(number: int) -> Params:
    return {"id": number, "is_bot": False, "first_name": f"Person {number}", "language_code": "en"}


async def _fields(request: web.Request) -> Params:
    if request.content_type == "application/json":
        return dict(await request.json())
    fields: Params = {}
    for key, value in (await request.post()).items():
        fields[key] = value.file.read() if isinstance(value, web.FileField) else value
    return parsed(fields)
