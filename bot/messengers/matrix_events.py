"""One event of a room, as JSON, into one envelope. Pure; what we cannot read becomes UNREADABLE, never an error.

Source of the shapes: the Matrix specification, "Client-Server API", modules "Instant Messaging", "Event replacements",
"Redactions", "Threading" and "Rich replies".
"""

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from bot.messengers import Arrival, Envelope
from bot.messengers.wire import LONGEST_RAW, storable

NAME = "matrix"
MESSAGES = ("m.room.message", "m.sticker")
FILES = {
    "m.image": "photo", "m.video": "video", "m.audio": "audio", "m.file": "document", "m.sticker": "sticker",
    "m.location": "location",
}  # fmt: skip
VOICE = ("m.voice", "org.matrix.msc3245.voice")
# older clients put the answered message before the answer: lines that begin with "> ", the first naming its writer
QUOTED = re.compile(r"\A> (?:\* )?<@[^\n]*\n(?:>[^\n]*\n)*\n?")

Wire = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Around:
    """What a room is to us: `me` our full id, `left` whether we are out of it, `names` by which people go there."""

    chat: str
    me: str
    received: datetime
    direct: bool = False
    left: bool = False
    encrypted: bool = False
    names: Mapping[str, str] = field(default_factory=dict)


def original_of(event: Wire) -> str | None:
    """The message that an edit or a redaction is about: who wrote it decides whether it counts."""
    content = mapping(event.get("content"))
    if event.get("type") == "m.room.redaction":
        about = event.get("redacts", content.get("redacts"))
    elif mapping(content.get("m.relates_to")).get("rel_type") == "m.replace":
        about = content["m.relates_to"].get("event_id")
    else:
        return None
    return about if isinstance(about, str) else None


def to_envelope(event: Wire, around: Around, original: Wire | None = None) -> Envelope | None:
    """None: nothing for us, or forged. `original` is what `original_of` names, None where it is not to be had."""
    try:
        return _read(event, around, original)
    except (LookupError, TypeError, ValueError, AttributeError, OverflowError, OSError):
        return _unreadable(event, around)


def _read(event: Wire, around: Around, original: Wire | None) -> Envelope | None:
    match event["type"]:
        case "m.room.member":
            return _membership(event, around)
        case "m.room.tombstone":
            return _moved(event, around)
        case _ if event["sender"] == around.me:
            return None
        case "m.room.redaction":
            return _deleted(event, around, original)
        case "m.room.message" | "m.sticker":
            return _message(event, around, original)
    return None


def _message(event: Wire, around: Around, original: Wire | None) -> Envelope | None:
    content = event["content"]
    if not content:  # taken back before we saw it
        return None
    if mapping(content.get("m.relates_to")).get("rel_type") != "m.replace":
        return _said(event, around, content, event, 0)
    if original is None or not _their_own(event, original) or not original["content"] or original_of(original):
        return None
    fresh = content["m.new_content"]
    if not fresh:
        raise ValueError("an edit without new words")
    return _said(event, around, fresh, original, max(_milliseconds(event), 1))


def _said(event: Wire, around: Around, content: Wire, original: Wire, revision: int) -> Envelope | None:
    kind = content.get("msgtype", event["type"])
    if kind == "m.key.verification.request":
        return None
    related = mapping(original["content"].get("m.relates_to"))
    answered = _answered(related)
    reference = _reference(kind, content)
    return Envelope(
        messenger=NAME,
        chat=around.chat,
        message=storable(original["event_id"]),
        kind=Arrival.TEXT if reference is None else Arrival.ATTACHMENT,
        sent=_moment(original),
        text=_words(content, reference is not None, answered is not None),
        revision=revision,
        order=_milliseconds(original),
        sender=storable(event["sender"]),
        sender_name=_name(event["sender"], around),
        direct=around.direct,
        foreign=kind == "m.notice",  # by convention, what a program wrote
        replies_to=answered,
        thread=storable(related["event_id"]) if related.get("rel_type") == "m.thread" else None,
        reference=reference,
    )


def _words(content: Wire, is_file: bool, is_answer: bool) -> str:
    """What the person wrote: without a file's name, without the words of the message answered."""
    body = storable(content["body"])
    if is_file:
        return "" if content.get("filename", body) == body else body
    return QUOTED.sub("", body) if is_answer else body


def _answered(related: Wire) -> str | None:
    """In a thread, each message carries an answer for clients that know no threads; that is none."""
    answered = mapping(related.get("m.in_reply_to")).get("event_id")
    if answered is None or (related.get("rel_type") == "m.thread" and related.get("is_falling_back")):
        return None
    return storable(answered)


def _reference(kind: object, content: Wire) -> str | None:
    if kind not in FILES:
        return None
    name = "voice" if any(mark in content for mark in VOICE) else FILES[str(kind)]
    return f"{name}:{storable(content.get('url', ''))}"


def _deleted(event: Wire, around: Around, original: Wire | None) -> Envelope | None:
    """A moderator who clears a message does not unsay the set."""
    if original is None or not _their_own(event, original):
        return None
    return Envelope(
        messenger=NAME,
        chat=around.chat,
        message=storable(original["event_id"]),
        kind=Arrival.DELETED,
        sent=_moment(event),
        order=_milliseconds(original),
        sender=storable(event["sender"]),
        sender_name=_name(event["sender"], around),
        direct=around.direct,
    )


def _their_own(event: Wire, original: Wire) -> bool:
    return bool(original["sender"] == event["sender"] and original["type"] in MESSAGES)


def _membership(event: Wire, around: Around) -> Envelope | None:
    if event.get("state_key") != around.me:
        return None
    was, now = membership_before(event), event["content"]["membership"]
    if now == "join" and was != "join" and not around.left and not around.encrypted:
        kind = Arrival.OPENED
        sender = mapping(event.get("unsigned")).get("prev_sender", "")  # who invited us
    elif now in ("leave", "ban") and was in ("join", None):
        kind, sender = Arrival.CLOSED, event["sender"]
    else:
        return None
    person = "" if sender == around.me else storable(sender)
    return Envelope(
        messenger=NAME,
        chat=around.chat,
        message=f"member:{storable(event['event_id'])}",
        kind=kind,
        sent=_moment(event),
        order=_milliseconds(event),
        sender=person,
        sender_name=_name(person, around),
        direct=around.direct,
    )


def membership_before(event: Wire) -> str | None:
    """None where the server does not say."""
    before = mapping(mapping(event.get("unsigned")).get("prev_content")).get("membership")
    return before if isinstance(before, str) else None


def _moved(event: Wire, around: Around) -> Envelope:
    new = storable(event["content"]["replacement_room"])
    return Envelope(
        NAME, around.chat, f"moved:{new}", Arrival.MOVED, _moment(event), text=new, order=_milliseconds(event),
        direct=around.direct,
    )  # fmt: skip


def _name(sender: str, around: Around) -> str:
    """The name shown in the room, else the part of the id before the server's."""
    return around.names.get(sender) or storable(sender).removeprefix("@").partition(":")[0]


def milliseconds(event: Wire) -> int:
    """When the server took it; 0 where that cannot be read."""
    try:
        return _milliseconds(event)
    except (LookupError, ValueError):
        return 0


def _milliseconds(event: Wire) -> int:
    value = event["origin_server_ts"]
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value < 2**53:
        raise ValueError("not a time")
    return value


def _moment(event: Wire) -> datetime:
    return datetime.fromtimestamp(_milliseconds(event) / 1000, UTC)


def mapping(value: object) -> Wire:
    """`value` where it is an object, else an empty one."""
    return value if isinstance(value, Mapping) else {}


def _unreadable(event: object, around: Around) -> Envelope:
    raw = json.dumps(event, ensure_ascii=True, default=str)[:LONGEST_RAW]
    given = mapping(event).get("event_id")
    name = storable(given) if isinstance(given, str) else hashlib.sha256(raw.encode()).hexdigest()[:32]
    return Envelope(
        NAME, around.chat, f"event:{name}", Arrival.UNREADABLE, around.received, raw=raw, direct=around.direct
    )  # fmt: skip
