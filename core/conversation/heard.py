"""An athlete's text: read in its context, kept, folded into the day, and answered by what was understood."""

from dataclasses import replace
from datetime import date, timedelta

from core.club import DayBecomes, DayRecord, DueKind, Entry, Heard, Log, Outcome, Said, Unplanned, Withdrawn
from core.conversation import acknowledge, alarms, answers, requests
from core.conversation.engine import session_on
from core.conversation.turn import Turn, answer, line
from core.record import current, fold
from core.replies import VERSION, Context, read
from core.training import Exercise, Json, PrescribedSet, Session, Set

NOTHING: Json = {"sets": [], "mode": "none", "skipped": False, "bodyweight_g": None, "pain": None, "unclear": None}
STILL_OPEN = timedelta(days=14)  # older days are closed to edits by message; the coach can still change them


def said(turn: Turn, event: Said) -> Outcome:
    """What follows from a text, new or edited."""
    if event.foreign:
        return answer(turn, line("foreign"))
    revisions = [entry for entry in turn.log.entries if entry.message == event.message]
    newest = max(revisions, key=lambda entry: entry.revision, default=None)
    if newest is not None and (event.revision, event.text) == (newest.revision, newest.text):
        return Outcome()
    if newest is not None and event.text == newest.text and event.revision > newest.revision:
        return Outcome()
    if newest is not None:
        original = min(revisions, key=lambda entry: entry.revision)
        return _read(turn, event, original, late=event.revision < newest.revision)
    settled = answers.heard(turn, event)
    if settled is not None:
        return settled
    alarm, turn = alarms.heard(turn, event)
    return alarm + _read(turn, event, None, late=False, quiet=bool(alarm.say))


def _read(turn: Turn, event: Said, original: Entry | None, late: bool, quiet: bool = False) -> Outcome:
    prepared, turn = with_session(turn)
    context = context_of(turn, event, original)
    reading = answers.of_question(turn, read(event.text, Context.from_json(context)).to_json())
    day = _day(turn, reading, original)
    if original is None and reading.get("sets") and day != turn.today:
        reading, context = _about_another_day(turn, event, day)
    entry = Entry(event.message, event.revision, event.order, day, event.text, context, reading, VERSION, event.sent)
    if late:
        return Outcome((Heard(turn.member, entry),))
    if _empty(reading) and quiet:
        return Outcome((Heard(turn.member, entry),))
    if _empty(reading) and original is None:
        return requests.heard(turn, event, entry)
    return prepared + recorded(turn, entry, original, alarmed=quiet)


def _about_another_day(turn: Turn, event: Said, day: date) -> tuple[Json, Json]:
    """ "yesterday 5 5 4" is read again with that day's session before it; its dates still count from today."""
    context = context_of(turn.on(day), event, None) | {"today": turn.today.isoformat(), "asked": None}
    return read(event.text, Context.from_json(context)).to_json() | {"day": day.isoformat()}, context


def with_session(turn: Turn) -> tuple[Outcome, Turn]:
    """Today's session, prescribed on the spot where the athlete is there before its hour."""
    from core.conversation import sessions

    if turn.log.session(turn.today) is not None or not sessions.is_planned(turn, turn.today):
        return Outcome(), turn
    outcome = sessions.prescribe(turn, turn.today, session_on(turn.log, turn.today))
    return outcome, turn.with_log(sessions.applied(turn.log, outcome))


def recorded(turn: Turn, entry: Entry, original: Entry | None = None, alarmed: bool = False) -> Outcome:
    """Keep the entry, fold the days it touches, and say what became of them; `alarmed`: pain is answered already."""
    changes: list[Heard | DayBecomes | Unplanned] = [Heard(turn.member, entry)]
    changes.append(Unplanned(turn.member, DueKind.NUDGE, turn.today))
    after = turn.with_log(replace(turn.log, entries=(*turn.log.entries, entry)))
    touched = {entry.day} | {known.day for known in turn.log.entries if known.message == entry.message}
    for day in sorted(touched):
        before, record = fold(turn.entries(day)), fold_day(after, day)
        if record != before:
            changes.append(DayBecomes(turn.member, day, record))
            after = after.with_log(with_day(after.log, day, record))
    told = acknowledge.understood(turn, after, entry, original, alarmed)
    return Outcome(tuple(changes)) + told


def fold_day(turn: Turn, day: date) -> DayRecord:
    """The day's record; superseded revisions of a message that moved to another day count nowhere."""
    newest = current(turn.log.entries)
    return fold(entry for entry in newest if entry.day == day)


def with_day(log: Log, day: date, record: DayRecord) -> Log:
    """The log with this day's session as the record says."""
    known = log.session(day) or Session(id=day.isoformat(), day=day)
    session = replace(known, sets=record.sets, skipped=record.skipped, pain=record.pain)
    others = tuple(one for one in log.sessions if one.day != day)
    return replace(log, sessions=tuple(sorted((*others, session), key=lambda one: one.day)))


def withdrawn(turn: Turn, event: Withdrawn) -> Outcome:
    """A deleted message says nothing any more."""
    known = [entry for entry in turn.log.entries if entry.message == event.message]
    if not known:
        return Outcome()
    original = min(known, key=lambda entry: entry.revision)
    newest = max(known, key=lambda entry: entry.revision)
    revision = max(event.revision, newest.revision + 1)
    return recorded(turn, replace(newest, revision=revision, text="", reading=NOTHING), original)


def context_of(turn: Turn, event: Said, original: Entry | None) -> Json:
    """What the reader may lean on; for an edit, the context before its original."""
    athlete = turn.log.athlete
    day = turn.today if original is None else original.day
    session = turn.session(day)
    order = event.order if original is None else original.order
    before = [entry for entry in turn.entries(day) if entry.order < order and entry.message != event.message]
    previous = [one for one in turn.log.sessions if one.day < day and one.sets]
    asked = None if turn.log.question is None or original is not None else answers.asked(turn)
    return {
        "unit": athlete.unit.value,
        "language": athlete.language,
        "bands": turn.bands(),
        "prescribed": {"sets": [_as_done(one).to_json() for one in session.prescribed]},
        "logged": [one.to_json() for one in fold(before).sets],
        "last": {"sets": [one.to_json() for one in previous[-1].sets]} if previous else None,
        "bodyweight_g": turn.log.bodyweights[-1].mass_g if turn.log.bodyweights else None,
        "today": day.isoformat(),
        "exercises": _trained(athlete.exercises, session.prescribed),
        "asked": asked,
    }


def _as_done(planned: PrescribedSet) -> Set:
    return Set(planned.reps, planned.added_g, planned.bands, exercise=planned.exercise, seconds=planned.seconds)


def _trained(own: tuple[Exercise, ...], planned: tuple[PrescribedSet, ...]) -> list[str]:
    return list(dict.fromkeys([*(one.value for one in own), *(one.exercise.value for one in planned)]))


def _day(turn: Turn, reading: Json, original: Entry | None) -> date:
    if reading.get("day") is not None:
        return date.fromisoformat(reading["day"])
    return turn.today if original is None else original.day


FACTS = ("sets", "skipped", "pain", "unclear", "away", "move_to", "healed", "effort", "choice", "morning", "pain_score")


def _empty(reading: Json) -> bool:
    if reading.get("mode") == "replace" or reading.get("bodyweight_g") is not None:
        return False
    said = (reading.get(fact) for fact in FACTS)
    return all(one is None or one is False or one == [] for one in said)  # a morning's 0 is an answer
