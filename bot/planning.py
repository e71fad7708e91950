"""What the clock will owe: every athlete's sessions eight days ahead, and the coach's week."""

import json
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from bot.storage import Store
from core.club import DueKind, Member, Role
from core.schedule import DAYS_AHEAD, instant, occurrences

DIGEST_WEEKDAY = 6  # Sunday
DIGEST_AT = time(19, 0)
PREVIEW_AT = time(19, 30)  # the evening before


def replan(store: Store, member: Member, now: datetime) -> None:
    """Plan this member's days anew; what was already claimed stays as it is."""
    log = store.log(member.id)
    zone = ZoneInfo(log.athlete.time_zone)
    today = now.astimezone(zone).date()
    if member.role is Role.ATHLETE:
        planned = occurrences(log.athlete, log.orders, today, DAYS_AHEAD, closed_days(store))
        wanted = {one.day: one.due for one in planned if one.due > now}
        store.plan(member.id, DueKind.SESSION.value, wanted, today)
    elif member.role is Role.COACH:
        days = (today + timedelta(days=ahead) for ahead in range(DAYS_AHEAD))
        weeks = {day: instant(day, DIGEST_AT, zone) for day in days if day.weekday() == DIGEST_WEEKDAY}
        store.plan(member.id, DueKind.DIGEST.value, {day: due for day, due in weeks.items() if due > now}, today)
        ahead = (today + timedelta(days=number) for number in range(1, DAYS_AHEAD))
        evenings = {day: instant(day - timedelta(days=1), PREVIEW_AT, zone) for day in ahead}
        shown = evenings if store.setting("preview") != "off" else {}
        store.plan(member.id, DueKind.PREVIEW.value, {day: due for day, due in shown.items() if due > now}, today)


def closed_days(store: Store) -> frozenset[date]:
    """The days on which the club is closed."""
    return frozenset(date.fromisoformat(one) for one in json.loads(store.setting("closed_days") or "[]"))
