"""A club as tests need it: small defaults, everything else said by the test."""

from datetime import UTC, date, datetime, timedelta
from typing import Any

from bot.messengers import Arrival, Batch, Envelope
from bot.storage import Store, Transaction
from core.club import Entry, Role
from core.training import Athlete, Json, Screening

NOW = datetime(2026, 10, 5, 6, 0, tzinfo=UTC)
DAY = date(2026, 10, 5)


def athlete(id: str = "mirela", name: str = "Mirela", **more: Any) -> Athlete:
    return Athlete(id, name, screening=Screening.CLEAR, **more)


def club(tx: Transaction, id: str = "quay", members: tuple[str, ...] = ("mirela",)) -> Store:
    """A club with athletes who are reached in the Telegram chat of their own name."""
    store = tx.create_club(id, f"Club {id}", "Europe/Lisbon", NOW)
    for member in members:
        store.add_member(athlete(member, member.title()), now=NOW)
        store.open_chat(member, "telegram", f"{id}-{member}", f"user-{member}", NOW)
    return store


def coach(store: Store, id: str = "okko") -> None:
    store.add_member(Athlete(id, id.title()), Role.COACH, now=NOW)
    store.open_chat(id, "telegram", f"{store.club_id}-{id}", f"user-{id}", NOW)


def envelope(message: str, chat: str = "quay-mirela", **more: Any) -> Envelope:
    facts: dict[str, Any] = {"text": f"text {message}", "order": int(message), "sender": "user-mirela"}
    return Envelope("telegram", chat, message, more.pop("kind", Arrival.TEXT), NOW, **(facts | more))


def batch(*messages: str | Envelope, cursor: str | None = None) -> Batch:
    made = tuple(one if isinstance(one, Envelope) else envelope(one) for one in messages)
    return Batch("telegram", made, cursor)


def entry(message: str, reading: Json | None = None, day: date = DAY, revision: int = 0, **more: Any) -> Entry:
    facts: dict[str, Any] = {"text": f"text {message}", "context": {}, "reader": "1", "heard": NOW}
    order = (int(message), message)
    return Entry(f"telegram quay-mirela {message}", revision, order, day, reading=reading or {}, **(facts | more))


def later(**step: float) -> datetime:
    return NOW + timedelta(**step)
