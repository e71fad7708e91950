"""What the clock brings: today's session, its close, a nudge; and when a session is due at all."""

from dataclasses import replace
from datetime import date, time, timedelta

from core.advice import Advice
from core.club import Due, DueKind, Log, Outcome, Planned, Prescribed
from core.conversation import acknowledge, sore, wording
from core.conversation.engine import session_on
from core.conversation.turn import Turn, answer, line, tell_coaches
from core.hang_picture import bands_of, hang_picture
from core.kit import kit_from_json
from core.loading.hang import hung_from_json
from core.phrases import Phrase
from core.schedule import trains_on
from core.speech import Lane, Say, ToMember
from core.training import Json, Session

NUDGE_AT = time(20, 30)
STALE_AFTER = timedelta(hours=14)  # a session that could not be sent by the evening is not sent at all


def is_planned(turn: Turn, day: date) -> bool:
    """Whether `day` is a day to train on: a training day, no pause, not away."""
    return trains_on(turn.log.athlete, turn.log.orders, day)


def prescribe(turn: Turn, day: date, advice: Advice) -> Outcome:
    """The session of that day as a change, silent."""
    if not advice.sets or advice.day != day:
        return Outcome()
    return Outcome((Prescribed(turn.member, day, advice.sets, advice.to_json()),))


def applied(log: Log, outcome: Outcome) -> Log:
    """The log with what was just prescribed."""
    for change in outcome.changes:
        if isinstance(change, Prescribed):
            known = log.session(change.day) or Session(id=change.day.isoformat(), day=change.day)
            others = tuple(one for one in log.sessions if one.day != change.day)
            session = replace(known, prescribed=change.sets)
            log = replace(log, sessions=tuple(sorted((*others, session), key=lambda one: one.day)))
    return log


def due(turn: Turn, event: Due) -> Outcome:
    """The clock's event for this athlete."""
    match event.kind:
        case DueKind.SESSION:
            return _session(turn, event.day)
        case DueKind.CLOSE:
            return _close(turn, event.day)
        case DueKind.MORNING:
            return sore.ask_morning(turn)
        case DueKind.NUDGE:
            return _nudge(turn, event.day)
        case DueKind.REST:
            return answer(turn, line("due.rest"))
        case DueKind.DIGEST | DueKind.PREVIEW:
            return Outcome()


def _session(turn: Turn, day: date) -> Outcome:
    if turn.session(day).prescribed or turn.session(day).sets or turn.session(day).skipped:
        return Outcome()
    if day < turn.today:
        return answer(turn, line("due.stale", day=day))
    if sore.is_waiting(turn):
        return sore.ask_morning(turn)  # the answer brings the session
    advice = session_on(turn.log, day)
    if not advice.sets:
        return answer(turn, *(line("words", text=why) for why in advice.to_json()["why"]))
    outcome = prescribe(turn, day, advice)
    nudge = Planned(turn.member, DueKind.NUDGE, day, turn.at(day, NUDGE_AT))
    said = Say(
        ToMember(turn.member),
        (line("session.head", day=day), *session_lines(advice)),
        lane=Lane.BROADCAST,
        worthless_after=turn.now + STALE_AFTER,
        prescribes=True,
        picture=_picture(turn, advice),
    )
    return outcome + Outcome((nudge,), (said,))


def session_lines(advice: Advice) -> tuple[Phrase, ...]:
    """The whole session in words, with the thought of the day; a coach's own note stands among the reasons."""
    lines = wording.session(advice.to_json(), advice.sets, advice.warm_up)
    return lines if advice.cue is None else (*lines, advice.cue)


def show(turn: Turn) -> Outcome:
    """Today's session, or the next one, on request."""
    advice = session_on(turn.log, turn.today)
    if not advice.sets:
        return answer(turn, *(line("words", text=why) for why in advice.to_json()["why"]))
    outcome = prescribe(turn, turn.today, advice) if advice.day == turn.today else Outcome()
    head = line("session.head", day=advice.day)
    return outcome + answer(turn, head, *session_lines(advice))


def after_answer(turn: Turn) -> Outcome:
    """Today's session, where this is a training day and it has not been sent."""
    if not is_planned(turn, turn.today) or turn.session(turn.today).prescribed or turn.session(turn.today).sets:
        return Outcome()
    return show(turn)


def _close(turn: Turn, day: date) -> Outcome:
    """Ninety minutes after the last set; nothing where the session is closed or empty."""
    if f"closed:{day}" in turn.log.told or not turn.session(day).sets:
        return Outcome()
    return acknowledge.close(turn.on(day))


def _picture(turn: Turn, advice: Advice) -> Json | None:
    """What hangs for the first work set, where that is something and the kit is known."""
    hung = advice.hang.get("sets", [])[len(advice.warm_up) :]
    if not hung or not hung[0]["pieces"] or not turn.kit():
        return None
    athlete = turn.log.athlete
    kit = kit_from_json(turn.kit(), "kit")
    first = advice.sets[0]
    if (first.added_g, first.bands) == _last_load(turn, advice.day):
        return None  # hung the same last time
    bands = bands_of(kit, first.bands)
    return hang_picture(hung_from_json(hung[0], kit), bands, athlete.language, athlete.unit)


def _last_load(turn: Turn, day: date) -> tuple[int, tuple[str, ...]] | None:
    """What the last session before that day asked for first."""
    earlier = [one for one in turn.log.sessions if one.prescribed and one.day < day]
    return (earlier[-1].prescribed[0].added_g, earlier[-1].prescribed[0].bands) if earlier else None


def _nudge(turn: Turn, day: date) -> Outcome:
    """One line on a missed day; the coach hears of the second in a row."""
    session = turn.session(day)
    if session.sets or session.skipped or not session.prescribed or day != turn.today:
        return Outcome()
    earlier = [one for one in turn.log.sessions if one.prescribed and one.day < day][-2:]
    missed = [not one.sets and not one.skipped for one in earlier]
    second = missed[-1:] == [True] and missed[:-1] != [True]
    told = tell_coaches(line("due.missed_twice", name=turn.log.athlete.name)) if second else Outcome()
    return answer(turn, line("due.nudge")) + told
