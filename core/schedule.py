"""Wishes in local time become instants: training days and an hour, in the athlete's own zone.

The rule where clocks change: a wall time that does not exist is taken at the first instant that does, one
that comes twice at its first coming. UTC instants are never repeated by a timer; they are worked out here.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from core.orders import Order, OrderKind
from core.training import Athlete, Weekday

DAYS_AHEAD = 8
STOPS = (OrderKind.AWAY, OrderKind.PAUSE)


@dataclass(frozen=True, slots=True)
class Occurrence:
    """A session's message: the local date it is for and the instant it is due (UTC)."""

    day: date
    due: datetime


def instant(day: date, wall: time, zone: ZoneInfo) -> datetime:
    """The UTC instant of a wall time on a local date, by the rule of this module."""
    local = datetime.combine(day, wall, zone)
    first = local.astimezone(UTC)
    if first.astimezone(zone).replace(tzinfo=None) == local.replace(tzinfo=None):
        return first
    return _end_of_gap(local.replace(fold=1).astimezone(UTC), first, zone)


def _end_of_gap(before: datetime, after: datetime, zone: ZoneInfo) -> datetime:
    """The clock change between two instants on its two sides, to the second."""
    offset = before.astimezone(zone).utcoffset()
    low, high = 0, int((after - before).total_seconds())
    while low < high:
        middle = (low + high) // 2
        if (before + timedelta(seconds=middle)).astimezone(zone).utcoffset() == offset:
            low = middle + 1
        else:
            high = middle
    return before + timedelta(seconds=low)


def occurrences(
    athlete: Athlete,
    orders: Iterable[Order],
    first: date,
    days: int = DAYS_AHEAD,
    closed: frozenset[date] = frozenset(),
) -> tuple[Occurrence, ...]:
    """The sessions planned from `first` on, for `days` local dates; none while away, paused or closed."""
    zone, hour = ZoneInfo(athlete.time_zone), time.fromisoformat(athlete.hour)
    kept = tuple(orders)
    planned = (first + timedelta(days=ahead) for ahead in range(days))
    return tuple(
        Occurrence(day, instant(day, hour, zone))
        for day in planned
        if trains_on(athlete, kept, day) and day not in closed
    )


def trains_on(athlete: Athlete, orders: Iterable[Order], day: date) -> bool:
    """Whether `day` is a day to train on: a training day or one moved to, and neither away nor paused."""
    in_force = [order for order in orders if order.in_force(day)]
    if any(order.kind in STOPS for order in in_force):
        return False
    moved_here = any(order.kind is OrderKind.EXTRA for order in in_force)
    return moved_here or Weekday.of(day) in athlete.training_days
