"""A person on a Matrix server, over plain HTTP: what another client's writer does and sees."""

import itertools
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any
from urllib.parse import quote

import aiohttp

from tests.synapse import Synapse

PASSWORD = "pass-word-1"
Wire = dict[str, Any]
_numbers = itertools.count(1)


class Person:
    """One account; every verb raises where the server refuses."""

    def __init__(self, url: str, user: str, token: str, http: aiohttp.ClientSession) -> None:
        self.user, self._http = user, http
        self._base, self._head = f"{url}/_matrix/client/v3", {"Authorization": f"Bearer {token}"}

    @classmethod
    @asynccontextmanager
    async def new(cls, server: Synapse, name: str) -> AsyncIterator["Person"]:
        """A fresh account whose name begins with `name`."""
        user, token = server.register(f"{name}{next(_numbers)}")
        async with aiohttp.ClientSession() as http:
            yield cls(server.url, user, token, http)

    async def ask(self, method: str, *path: str, body: Wire | None = None, **query: str) -> Wire:
        address = "/".join([self._base, *(quote(part, safe="") for part in path)])
        async with self._http.request(method, address, json=body, params=query, headers=self._head) as answer:
            told: Wire = await answer.json()
            assert answer.status == 200, told
            return told

    async def opens(self, *invited: str, encrypted: bool = False, **more: Any) -> str:
        """A room of their own; its id."""
        start = [{"type": "m.room.encryption", "state_key": "", "content": {"algorithm": "m.megolm.v1.aes-sha2"}}]
        body = {"preset": "private_chat", "invite": list(invited), "initial_state": start if encrypted else []} | more
        return str((await self.ask("POST", "createRoom", body=body))["room_id"])

    async def invites(self, room: str, user: str) -> None:
        await self.ask("POST", "rooms", room, "invite", body={"user_id": user})

    async def joins(self, room: str) -> None:
        await self.ask("POST", "join", room, body={})

    async def removes(self, room: str, user: str) -> None:
        await self.ask("POST", "rooms", room, "kick", body={"user_id": user})

    async def says(self, room: str, text: str, **more: Any) -> str:
        return await self.sends(room, {"msgtype": "m.text", "body": text} | more)

    async def edits(self, room: str, message: str, text: str) -> str:
        related = {"rel_type": "m.replace", "event_id": message}
        fresh = {"msgtype": "m.text", "body": text}
        return await self.sends(room, fresh | {"body": f"* {text}", "m.new_content": fresh, "m.relates_to": related})

    async def reacts(self, room: str, message: str, key: str) -> str:
        related = {"rel_type": "m.annotation", "event_id": message, "key": key}
        return await self.sends(room, {"m.relates_to": related}, "m.reaction")

    async def sends(self, room: str, content: Wire, kind: str = "m.room.message") -> str:
        path = ("rooms", room, "send", kind, f"t{next(_numbers)}")
        return str((await self.ask("PUT", *path, body=content))["event_id"])

    async def redacts(self, room: str, message: str) -> None:
        await self.ask("PUT", "rooms", room, "redact", message, f"t{next(_numbers)}", body={})

    async def sees(self, room: str) -> list[Wire]:
        """Every event of a room, the oldest first."""
        return list((await self.ask("GET", "rooms", room, "messages", dir="b", limit="500"))["chunk"])[::-1]

    async def reads(self, room: str, writer: str) -> list[str]:
        """What `writer` said there, as a client shows it now: edited, without what was taken back."""
        shown: dict[str, str] = {}
        for event in await self.sees(room):
            content = event["content"]
            if event["sender"] != writer or event["type"] != "m.room.message" or not content:
                continue
            if content.get("m.relates_to", {}).get("rel_type") == "m.replace":
                shown[content["m.relates_to"]["event_id"]] = content["m.new_content"]["body"]
            else:
                shown[event["event_id"]] = content["body"]
        return list(shown.values())

    async def members(self, room: str) -> dict[str, str]:
        told = await self.ask("GET", "rooms", room, "members")
        return {event["state_key"]: event["content"]["membership"] for event in told["chunk"]}
