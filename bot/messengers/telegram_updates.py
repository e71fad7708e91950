"""One update of the Bot API, as JSON, into one envelope. Pure; what we cannot read becomes UNREADABLE, never an error.

Source of the shapes: the official Bot API documentation, "Getting updates" and "Available types".
"""

import hashlib
import json
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from bot.messengers import Arrival, Envelope
from bot.messengers.wire import LONGEST_RAW, storable

NAME = "telegram"
ALLOWED_UPDATES = ("message", "edited_message", "callback_query", "my_chat_member")
WIDEST_ID = 2**53  # ids have at most 52 significant bits

FILES = ("voice", "video_note", "video", "audio", "animation", "document", "sticker")
OTHER_MEDIA = ("location", "venue", "contact", "poll", "dice", "story", "game", "checklist", "paid_media")
BY_ANOTHER_HAND = (
    "forward_origin", "forward_date", "forward_from", "forward_from_chat", "forward_sender_name",
    "is_automatic_forward", "via_bot", "sender_chat", "sender_business_bot",
)  # fmt: skip
PRESENT = ("creator", "administrator", "member")

Wire = Mapping[str, Any]


def to_envelope(update: Wire, received: datetime, me: str = "") -> Envelope | None:
    """None: nothing for us (a changed title, a kind we did not ask for). `me` is our own @name, without the @."""
    try:
        return _read(update, received, me)
    except (LookupError, TypeError, ValueError, AttributeError, OverflowError, OSError):
        return _unreadable(update, received)


def _read(update: Wire, received: datetime, me: str) -> Envelope | None:
    if "message" in update:
        return _message(update["message"], 0, me)
    if "edited_message" in update:
        message = update["edited_message"]
        # two edits of one second are told apart by their arrival; the same edit may arrive twice unchanged
        return _message(message, _id(message["edit_date"]) * 1000 + _id(update["update_id"]) % 1000, me)
    if "callback_query" in update:
        return _tap(update["callback_query"], received)
    if "my_chat_member" in update:
        return _membership(update["my_chat_member"])
    return None


def _message(message: Wire, revision: int, me: str) -> Envelope | None:
    moved = _moved(message)
    if moved is not None:
        return moved
    content = _content(message, revision, me)
    if content is None:
        return None
    kind, text, reference, for_another = content
    sender: Wire = message.get("from", {})
    answered = message.get("reply_to_message")
    return Envelope(
        messenger=NAME,
        chat=str(_id(message["chat"]["id"])),
        message=str(_id(message["message_id"])),
        kind=kind,
        sent=_moment(message["date"]),
        text=text,
        revision=revision,
        order=_id(message["message_id"]),
        sender=str(_id(sender["id"])) if sender else "",
        sender_name=_name(sender),
        language=_language(sender),
        direct=message["chat"]["type"] == "private",
        foreign=for_another or _foreign(message, sender),
        replies_to=None if answered is None else str(_id(answered["message_id"])),
        thread=str(_id(message["message_thread_id"])) if message.get("is_topic_message") else None,
        reference=reference,
    )


def _content(message: Wire, revision: int, me: str) -> tuple[Arrival, str, str | None, bool] | None:
    """Kind, text, reference, and whether it is a command for another bot; None for a service message."""
    if "text" in message:
        text, for_another = _without_address(message, storable(message["text"]), me)
        return Arrival.TEXT, text, None, for_another
    caption = storable(message.get("caption", ""))
    if "photo" in message:
        return Arrival.ATTACHMENT, caption, f"photo:{storable(message['photo'][-1]['file_id'])}", False
    for kind in FILES:
        if kind in message:
            return Arrival.ATTACHMENT, caption, f"{kind}:{storable(message[kind]['file_id'])}", False
    for kind in OTHER_MEDIA:
        if kind in message and not revision:  # a live location is edited every few seconds
            return Arrival.ATTACHMENT, caption, f"{kind}:", False
    return None


def _without_address(message: Wire, text: str, me: str) -> tuple[str, bool]:
    """A command "/done@our_bot x" is "/done x" to everybody else in the house; one for another bot is not for us."""
    command, gap, rest = text.partition(" ")
    word, at, name = command.partition("@")
    if not text.startswith("/") or not at or not name or not me:
        return text, False
    if name.casefold() != me.casefold():
        return text, True
    return word + gap + rest, False


def _moved(message: Wire) -> Envelope | None:
    """A group became a supergroup: told once in the old chat and once in the new one; both are one arrival."""
    chat = _id(message["chat"]["id"])
    if "migrate_to_chat_id" in message:
        old, new = chat, _id(message["migrate_to_chat_id"])
    elif "migrate_from_chat_id" in message:
        old, new = _id(message["migrate_from_chat_id"]), chat
    else:
        return None
    return Envelope(
        NAME, str(old), f"moved:{new}", Arrival.MOVED, _moment(message["date"]), text=str(new), direct=False
    )  # fmt: skip


def _tap(query: Wire, received: datetime) -> Envelope | None:
    """A tap has no time of its own; a button on a message of another bot's making has no chat."""
    if "message" not in query or "data" not in query:
        return None
    message, sender = query["message"], query["from"]
    return Envelope(
        messenger=NAME,
        chat=str(_id(message["chat"]["id"])),
        message=f"tap:{storable(query['id'])}",
        kind=Arrival.TAP,
        sent=received,
        text=storable(query["data"]),
        order=_id(message["message_id"]),
        sender=str(_id(sender["id"])),
        sender_name=_name(sender),
        language=_language(sender),
        direct=message["chat"]["type"] == "private",
        replies_to=str(_id(message["message_id"])),
    )


def _membership(change: Wire) -> Envelope | None:
    was, now = _present(change["old_chat_member"]), _present(change["new_chat_member"])
    if was == now:
        return None
    sender, date = change["from"], _id(change["date"])
    kind = Arrival.OPENED if now else Arrival.CLOSED
    return Envelope(
        messenger=NAME,
        chat=str(_id(change["chat"]["id"])),
        message=f"member:{date}:{kind}",
        kind=kind,
        sent=_moment(date),
        sender=str(_id(sender["id"])),
        sender_name=_name(sender),
        language=_language(sender),
        direct=change["chat"]["type"] == "private",
    )


def _present(member: Wire) -> bool:
    status = member["status"]
    return status in PRESENT or (status == "restricted" and bool(member.get("is_member")))


def _foreign(message: Wire, sender: Wire) -> bool:
    return not sender or bool(sender.get("is_bot")) or any(message.get(key) for key in BY_ANOTHER_HAND)


def _name(sender: Wire) -> str:
    return storable(" ".join(str(sender[key]) for key in ("first_name", "last_name") if sender.get(key)))


def _language(sender: Wire) -> str | None:
    code = sender.get("language_code")
    return None if code is None else storable(code)


def _id(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) >= WIDEST_ID:
        raise ValueError("not an id")
    return value


def _moment(seconds: object) -> datetime:
    return datetime.fromtimestamp(_id(seconds), UTC)


def _unreadable(update: object, received: datetime) -> Envelope:
    raw = json.dumps(update, ensure_ascii=True, default=str)[:LONGEST_RAW]
    try:
        number = str(_id(update["update_id"]))  # type: ignore[index]
    except (LookupError, TypeError, ValueError):
        number = hashlib.sha256(raw.encode()).hexdigest()[:32]
    return Envelope(NAME, _chat_of(update), f"update:{number}", Arrival.UNREADABLE, received, raw=raw, direct=False)


def _chat_of(update: object) -> str:
    """Whose it was, if that much can be read."""
    if isinstance(update, Mapping):
        for part in update.values():
            try:
                return str(_id(part["chat"]["id"]))
            except (LookupError, TypeError, ValueError):
                continue
    return ""
