"""The athlete file (`plimsoll export`, `import`, `advise`): in with every mistake named at once, and out again.

Left out, a field has this default: unit kg, language en, time_zone UTC, hour 07:00, born and sex unknown,
screening pending (so nothing is prescribed), training_days mon wed fri, aim strength, no limits, no kit
(bodyweight on a bar), no body weights, sessions or orders. A set: added_g 0, bands none, no rating, not
failed, a pull-up. A session without an id has its day for one. Unknown keys are passed over.
"""

from dataclasses import dataclass
from datetime import date
from typing import Any

from core.checks import Field, Findings, Mistake, choice, flag, halves, iso_day, maybe, pattern, whole, words
from core.kit import Kit, kit_from_json, kit_to_json
from core.language import LANGUAGES
from core.orders import Order, OrderKind
from core.problems import BadInput
from core.training import Aim, Athlete, BodyMass, Exercise, Limits, Screening, Session, Weekday
from core.units import Unit

FORMAT = 1

MOST_ENTRIES = 20_000  # sessions, body weights or orders: a session a day for half a century
MOST_SETS = 100
MOST_KITS = 200
HEAVIEST_G = 10_000_000  # a typing slip beyond this is no mass at all

Json = dict[str, Any]


@dataclass(frozen=True, slots=True)
class DatedKit:
    """A kit in use from a day on; None: from the beginning."""

    since: date | None
    kit: Kit


@dataclass(frozen=True, slots=True)
class AthleteFile:
    """Everything that a prescription depends on, entries in the order of the file."""

    athlete: Athlete
    today: date
    kits: tuple[DatedKit, ...] = ()
    bodyweights: tuple[BodyMass, ...] = ()
    sessions: tuple[Session, ...] = ()
    orders: tuple[Order, ...] = ()

    def to_json(self) -> Json:
        """The file again; `athlete_file(file.to_json(), …)` equals `file`."""
        return {
            "format": FORMAT,
            "athlete": self.athlete.to_json(),
            "kit": _kits_to_json(self.kits),
            "bodyweights": [one.to_json() for one in self.bodyweights],
            "sessions": [one.to_json() for one in self.sessions],
            "orders": [one.to_json() for one in self.orders],
            "today": self.today.isoformat(),
        }


def kit_on(kits: tuple[DatedKit, ...], day: date) -> Kit | None:
    """The kit in use on a day; None before the first."""
    known = [one for one in kits if one.since is None or one.since <= day]
    return max(known, key=lambda one: one.since or date.min).kit if known else None


def athlete_file(data: object, where: str = "athlete file", today: date | None = None) -> AthleteFile:
    """Reads decoded JSON. `today` stands in where the file names none. Raises BadInput with every mistake."""
    found = Findings()
    top = found.record(data, _FILE, where)
    if not isinstance(data, dict):
        raise BadInput(found.problems)
    if top is not None and "today" not in top and today is None:
        found.add(where, "today is missing", 'add "today", the day to prescribe for')
    athlete = _athlete(data.get("athlete"), found, f"{where}, athlete")
    kits = _kits(data.get("kit"), found, f"{where}, kit")
    masses = _masses(data, found, where)
    sessions = _sessions(data, found, where)
    orders = _orders(data, found, where)
    if found.problems or top is None or athlete is None:
        raise BadInput(found.all(where))
    day = date.fromisoformat(top["today"]) if "today" in top else today
    assert day is not None  # checked above
    return AthleteFile(
        athlete=athlete,
        today=day,
        kits=kits,
        bodyweights=tuple(BodyMass.from_json(one) for one in masses),
        sessions=tuple(Session.from_json(one) for one in sessions),
        orders=tuple(Order.from_json(one) for one in orders),
    )


def _athlete(data: object, found: Findings, where: str) -> Athlete | None:
    good = found.record(data, _ATHLETE, where)
    if not isinstance(data, dict):
        return None
    limits = data.get("limits")
    bounds = {} if limits is None else found.record(limits, _LIMITS, f"{where}, limits")
    days = _each(data, "training_days", choice(Weekday), 7, found, where)
    exercises = _each(data, "exercises", choice(Exercise), 20, found, where)
    if good is None or bounds is None:
        return None
    if not good.get("name") and not good.get("id"):
        found.add(where, "name is missing", 'add "name" or "id"')
        return None
    named = {"id": good.get("id", ""), "name": good.get("name", good.get("id"))}
    lists = {"training_days": days, "exercises": exercises}
    given = {key: tuple(dict.fromkeys(value)) for key, value in lists.items() if value is not None}
    return Athlete.from_json(good | named | given | {"limits": Limits.from_json(bounds).to_json()})


def _each(data: Json, key: str, check: Any, most: int, found: Findings, where: str) -> list[str] | None:
    """A list of words that all pass one check; None where the key is missing or null."""
    if data.get(key) is None:
        return None
    items = found.items(data[key], most, f"{where}, {key}")
    good = [found.record({key: item}, {key: Field(check)}, where) for item in items]
    return [str(one[key]) for one in good if one is not None]


def _kits(data: object, found: Findings, where: str) -> tuple[DatedKit, ...]:
    if data is None:
        return ()
    if not isinstance(data, list):
        return _dated_kit(data, found, where)
    items = found.items(data, MOST_KITS, where)
    kits = [_dated_kit(one, found, f"{where} {place}") for place, one in enumerate(items, 1)]
    return tuple(kit for one in kits for kit in one)


def _dated_kit(data: object, found: Findings, where: str) -> tuple[DatedKit, ...]:
    dated = found.record(data, {"from": Field(maybe(iso_day))}, where)
    if dated is None or not isinstance(data, dict):
        return ()
    try:
        kit = kit_from_json({key: value for key, value in data.items() if key != "from"}, where)
    except BadInput as bad:
        found.add_all(bad.problems)
        return ()
    since = dated.get("from")
    return (DatedKit(None if since is None else date.fromisoformat(since), kit),)


def _kits_to_json(kits: tuple[DatedKit, ...]) -> Json | list[Json] | None:
    shown = [_kit_to_json(one) for one in kits]
    if not shown:
        return None
    return shown[0] if len(shown) == 1 else shown


def _kit_to_json(dated: DatedKit) -> Json:
    since: Json = {} if dated.since is None else {"from": dated.since.isoformat()}
    return since | kit_to_json(dated.kit)


def _masses(data: Json, found: Findings, where: str) -> list[Json]:
    items = found.items(data.get("bodyweights"), MOST_ENTRIES, f"{where}, bodyweights")
    good = [found.record(one, _MASS, f"{where}, body weight {place}") for place, one in enumerate(items, 1)]
    return [one for one in good if one is not None]


def _sessions(data: Json, found: Findings, where: str) -> list[Json]:
    items = found.items(data.get("sessions"), MOST_ENTRIES, f"{where}, sessions")
    sessions = [_session(one, found, f"{where}, session {place}") for place, one in enumerate(items, 1)]
    seen: dict[str, int] = {}
    for place, one in enumerate(sessions, 1):
        if one is not None and seen.setdefault(one["id"], place) != place:
            what = f"the id {one['id']!r} is that of session {seen[one['id']]} too"
            found.add(f"{where}, session {place}", what, "give every session an id of its own")
    return [one for one in sessions if one is not None]


def _orders(data: Json, found: Findings, where: str) -> list[Json]:
    items = found.items(data.get("orders"), MOST_ENTRIES, f"{where}, orders")
    orders = [found.record(one, _ORDER, f"{where}, order {place}") for place, one in enumerate(items, 1)]
    for place, one in enumerate(orders, 1):
        needed = None if one is None else _NEEDED.get(one["kind"])
        if one is not None and needed is not None and one.get(needed) is None:
            found.add(f"{where}, order {place}", f"{needed} is missing", f'add "{needed}"')
    return [one for one in orders if one is not None]


def _session(data: object, found: Findings, where: str) -> Json | None:
    good = found.record(data, _SESSION, where)
    if not isinstance(data, dict):
        return None
    sets = found.items(data.get("sets"), MOST_SETS, f"{where}, sets")
    done = [found.record(one, _SET, f"{where}, set {place}") for place, one in enumerate(sets, 1)]
    plan = found.items(data.get("prescribed"), MOST_SETS, f"{where}, prescribed")
    to_do = [found.record(one, _PRESCRIBED, f"{where}, prescribed set {place}") for place, one in enumerate(plan, 1)]
    pain = data.get("pain")
    hurt = None if pain is None else found.record(pain, _PAIN, f"{where}, pain")
    if good is None:
        return None
    parts = {"sets": [one for one in done if one], "prescribed": [one for one in to_do if one], "pain": hurt}
    return {"id": good["day"]} | good | parts


def _time_zone(value: object) -> str:
    from zoneinfo import ZoneInfo

    name = str(words(60, 1)(value))
    try:
        ZoneInfo(name)
    except (ValueError, OSError, KeyError):
        raise Mistake(f"{name!r} is no time zone", "write one like Europe/Lisbon") from None
    return name


def _labels(value: object) -> list[str]:
    if not isinstance(value, list) or len(value) > 10:
        raise Mistake("is no short list of band labels", 'write it like ["amber"]')
    return sorted(words(60, 1)(one) for one in value)


_mass = whole(0, HEAVIEST_G)
_seconds = whole(0, 3600)
_reps = whole(0, 10_000)

_FILE = {"format": Field(whole(1, FORMAT)), "athlete": Field(lambda value: value, True), "today": Field(iso_day)}
_ATHLETE = {
    "id": Field(words(200)),
    "name": Field(words(200)),
    "unit": Field(choice(Unit)),
    "language": Field(choice(LANGUAGES)),
    "time_zone": Field(_time_zone),
    "hour": Field(pattern(r"([01]\d|2[0-3]):[0-5]\d", "07:00")),
    "born": Field(maybe(iso_day)),
    "sex": Field(maybe(choice(("female", "male")))),
    "screening": Field(choice(Screening)),
    "aim": Field(choice(Aim)),
}
_LIMITS = {
    "sets": Field(maybe(whole(0, MOST_SETS))),
    "rest_s": Field(maybe(_seconds)),
    "open_sets": Field(maybe(whole(0, MOST_SETS))),
    "minutes": Field(maybe(whole(0, 1440))),
}
_MASS = {"day": Field(iso_day, True), "mass_g": Field(_mass, True)}
_SESSION = {"id": Field(words(200, 1)), "day": Field(iso_day, True), "skipped": Field(flag)}
_SET = {
    "reps": Field(_reps, True),
    "added_g": Field(maybe(_mass)),
    "bands": Field(maybe(_labels)),
    "rpe": Field(maybe(halves(1, 10))),
    "failed": Field(flag),
    "exercise": Field(choice(Exercise)),
    "seconds": Field(maybe(_seconds)),
}
_PRESCRIBED = {key: check for key, check in _SET.items() if key != "failed"} | {
    "rest_s": Field(_seconds),
    "amrap": Field(flag),
}
_PAIN = {
    "place": Field(maybe(words(60))),
    "score": Field(maybe(whole(0, 10))),
    "morning": Field(maybe(whole(0, 10))),
}
_ORDER = {
    "day": Field(iso_day, True),
    "by": Field(choice(("coach", "athlete", "engine")), True),
    "kind": Field(choice(OrderKind), True),
    "until": Field(maybe(iso_day)),
    "added_g": Field(maybe(_mass)),
    "bands": Field(maybe(_labels)),
    "sets": Field(maybe(whole(0, MOST_SETS))),
    "reps": Field(maybe(_reps)),
    "rpe": Field(maybe(halves(1, 10))),
    "aim": Field(maybe(choice(Aim))),
    "text": Field(words(2000)),
}
_NEEDED = {OrderKind.AIM: "aim", OrderKind.CAP: "added_g"}
