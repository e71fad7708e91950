"""What a posting is on the wire, and the transaction id under which a repetition arrives once. Pure."""

import hashlib
import struct
from collections.abc import Mapping
from typing import Any

from bot.messengers import PostEdit, Posting, PostPicture, PostText
from bot.messengers.matrix_events import mapping

TEXT_LIMIT = 5000  # an event has 65,536 bytes; a unit takes up to 6 of them, and an edit carries its words twice
MARK = "✅"
SIGNATURE = b"\x89PNG\r\n\x1a\n"

Wire = dict[str, Any]


def transaction(posting: Posting, part: int = 0) -> str:
    """The same for the same posting only: a server silently drops other words that come under a known id.

    A database restored from a copy gives its rows' ids a second time, so the id alone would not do.
    """
    said = "\0".join([
        type(posting).__name__,
        getattr(posting, "text", ""),
        getattr(posting, "message", ""),
        hashlib.sha256(getattr(posting, "png", b"")).hexdigest(),
    ])  # fmt: skip
    return f"{posting.posting}-{hashlib.sha256(said.encode()).hexdigest()[:12]}-{part}"


def text(posting: PostText | PostPicture, words: str, person: str | None) -> Wire:
    """A notice rings nobody, by the default push rules; what must ring is a text that names its reader."""
    content: Wire = {"msgtype": "m.notice", "body": words, "m.mentions": {}}
    if not posting.silent:
        content |= {"msgtype": "m.text", "m.mentions": {} if person is None else {"user_ids": [person]}}
    return content | _in_thread(posting.thread)


def picture(posting: PostPicture, address: str, words: str) -> Wire:
    """The words are both the caption and what a screen reader says."""
    info: Wire = {"mimetype": "image/png", "size": len(posting.png)}
    if posting.png.startswith(SIGNATURE) and len(posting.png) >= 24:
        info["w"], info["h"] = struct.unpack(">II", posting.png[16:24])
    content: Wire = {
        "msgtype": "m.image", "url": address, "body": words, "filename": "plimsoll.png", "info": info, "m.mentions": {},
    }  # fmt: skip
    return content | _in_thread(posting.thread)


def _in_thread(thread: str | None) -> Wire:
    if thread is None:
        return {}
    falling_back = {"is_falling_back": True, "m.in_reply_to": {"event_id": thread}}
    return {"m.relates_to": {"rel_type": "m.thread", "event_id": thread} | falling_back}


def edit(posting: PostEdit, original: Mapping[str, Any]) -> Wire:
    """`original`: the content now shown; a picture stays one, under new words."""
    kept = {key: value for key, value in original.items() if key != "m.relates_to"}
    fresh = (kept or {"msgtype": "m.notice"}) | {"body": posting.text, "m.mentions": {}}
    return fresh | {
        "body": f"* {posting.text}",  # for clients that know no edits
        "m.new_content": fresh,
        "m.relates_to": {"rel_type": "m.replace", "event_id": posting.message},
    }


def reaction(message: str) -> Wire:
    return {"m.relates_to": {"rel_type": "m.annotation", "event_id": message, "key": MARK}}


def pinned(state: object, message: str) -> list[str] | None:
    """The list of pinned messages with `message`; None where it is there already."""
    now = mapping(state).get("pinned")
    known = [one for one in now if isinstance(one, str)] if isinstance(now, list) else []
    return None if message in known else [*known, message]
