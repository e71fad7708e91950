"""What one `/sync` tells, room by room, and the cursor that takes it up again. Pure."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from bot.messengers.matrix_events import MESSAGES, mapping, membership_before, milliseconds
from bot.messengers.wire import storable

Wire = Mapping[str, Any]

WHO_READS = ("m.room.member", "m.room.join_rules", "m.room.history_visibility")
WANTED = (*MESSAGES, "m.room.redaction", "m.room.encryption", "m.room.tombstone", *WHO_READS)
PAGE = 100  # events a room in one answer; what is more is paged back
TIMELINE: dict[str, Any] = {"limit": PAGE, "types": list(WANTED), "lazy_load_members": True}
PAGED: dict[str, Any] = {key: value for key, value in TIMELINE.items() if key != "limit"}
NOTHING: dict[str, Any] = {"not_types": ["*"]}
FILTER: dict[str, Any] = {
    "presence": NOTHING,
    "account_data": NOTHING,
    "room": {
        "account_data": NOTHING,
        "ephemeral": NOTHING,
        "include_leave": True,
        "timeline": TIMELINE,
        "state": {
            "types": ["m.room.encryption", *WHO_READS], "lazy_load_members": True, "include_redundant_members": True,
        },
    },
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Place:
    """The cursor. `since`: the server's token; `device`: whose transaction ids the server remembers.

    `join`, `leave`: rooms to which we owe an answer, kept until it is given.
    """

    since: str | None = None
    device: str | None = None
    join: tuple[str, ...] = ()
    leave: tuple[str, ...] = ()

    @classmethod
    def parse(cls, cursor: str | None) -> "Place":
        if not cursor:
            return cls()
        kept = json.loads(cursor)
        return cls(kept["since"], kept["device"], tuple(kept["join"]), tuple(kept["leave"]))

    def to_text(self) -> str:
        return json.dumps({"since": self.since, "device": self.device, "join": self.join, "leave": self.leave})

    def after(self, news: "News") -> "Place":
        """What is owed once `news` is stored: an invitation ends when we are in, or when it is taken back."""
        inside = {room.chat for room in news.rooms if not room.left}
        outside = {room.chat for room in news.rooms if room.left}
        join = dict.fromkeys([*self.join, *news.invited, *(room.moved_to for room in news.rooms if room.moved_to)])
        leave = dict.fromkeys([*self.leave, *(room.chat for room in news.rooms if room.encrypted and not room.left)])
        return replace(
            self,
            since=news.next,
            join=tuple(chat for chat in join if chat not in inside | outside),
            leave=tuple(chat for chat in leave if chat not in outside),
        )

    def without(self, chat: str) -> "Place":
        join, leave = (tuple(one for one in owed if one != chat) for owed in (self.join, self.leave))
        return replace(self, join=join, leave=leave)


@dataclass(frozen=True, slots=True)
class RoomNews:
    """One room in one answer. `gap`: the token to page back from, where the answer does not reach to the last one."""

    chat: str
    events: tuple[Wire, ...]
    gap: str | None
    left: bool
    encrypted: bool
    names: Mapping[str, str]

    @property
    def moved_to(self) -> str | None:
        for event in self.events:
            new = mapping(event.get("content")).get("replacement_room")
            if event.get("type") == "m.room.tombstone" and isinstance(new, str):
                return new
        return None


@dataclass(frozen=True, slots=True)
class News:
    """One answer: the next token, the rooms with anything new, and where we are invited."""

    next: str
    rooms: tuple[RoomNews, ...]
    invited: tuple[str, ...]


def news(answer: Wire, me: str) -> News:
    """`me`: our full id. Raises LookupError or ValueError where it is no answer to a `/sync`."""
    rooms = mapping(answer.get("rooms"))
    told = [_room(chat, mapping(one), False, me) for chat, one in mapping(rooms.get("join")).items()]
    told += [_room(chat, mapping(one), True, me) for chat, one in mapping(rooms.get("leave")).items()]
    return News(storable(answer["next_batch"]), tuple(told), tuple(mapping(rooms.get("invite"))))


def _room(chat: str, room: Wire, left: bool, me: str) -> RoomNews:
    timeline = mapping(room.get("timeline"))
    state, events = objects(mapping(room.get("state")).get("events")), objects(timeline.get("events"))
    if left and not any(_is_about(event, me) for event in events):
        events += [event for event in state if _is_about(event, me)]
    kinds = {event.get("type") for event in (*state, *events)}
    back = timeline.get("prev_batch")
    return RoomNews(
        chat=chat,
        events=tuple(events),
        gap=back if timeline.get("limited") and isinstance(back, str) else None,
        left=left,
        encrypted="m.room.encryption" in kinds,
        names=names([*state, *events]),
    )


def objects(value: object) -> list[Wire]:
    """The objects of a list; anything else is no event and is passed over."""
    return [one for one in value if isinstance(one, Mapping)] if isinstance(value, list) else []


def names(events: Iterable[Wire]) -> dict[str, str]:
    """Names shown in a room, by full id."""
    found = {}
    for event in events:
        name = mapping(event.get("content")).get("displayname")
        if event.get("type") == "m.room.member" and isinstance(name, str) and isinstance(event.get("state_key"), str):
            found[str(event["state_key"])] = storable(name)
    return found


def while_inside(events: Sequence[Wire], me: str) -> list[Wire]:
    """Without what was said while we were out: a server shows newcomers the past, but it was not said to us."""
    ours = [event for event in events if _is_about(event, me)]
    inside = not ours or _before(ours[0]) == "join"
    kept = []
    for event in events:
        if _is_about(event, me):
            inside = mapping(event.get("content")).get("membership") == "join"
        elif not inside:
            continue
        kept.append(event)
    return kept


def _before(event: Wire) -> str | None:
    """Our membership before this change; one who leaves and of whom no more is known was in."""
    now = mapping(event.get("content")).get("membership")
    return membership_before(event) or ("join" if now in ("leave", "ban") else None)


def readers_may_have_changed(events: Iterable[Wire]) -> bool:
    return any(event.get("type") in WHO_READS for event in events)


def _is_about(event: Wire, me: str) -> bool:
    return event.get("type") == "m.room.member" and event.get("state_key") == me


def in_order(events: Iterable[Wire]) -> list[Wire]:
    """As they were written: by the server's time, then by id; each once."""
    once = {str(event.get("event_id", id(event))): event for event in events}
    return sorted(once.values(), key=lambda event: (milliseconds(event), str(event.get("event_id", ""))))


def only_reader(state: Iterable[Wire], me: str) -> str | None:
    """The one person who reads a room beside us, from its whole state; None where there are more, or could be.

    Who is invited reads what was written before; an open door or a window in the wall makes a room public.
    """
    readers = set()
    for event in state:
        kind, content = event.get("type"), mapping(event.get("content"))
        if kind == "m.room.member" and content.get("membership") in ("join", "invite"):
            readers.add(str(event.get("state_key")))
        if kind == "m.room.join_rules" and content.get("join_rule") not in ("invite", "knock", "private"):
            return None
        if kind == "m.room.history_visibility" and content.get("history_visibility") == "world_readable":
            return None
    others = readers - {me}
    return others.pop() if len(others) == 1 else None
