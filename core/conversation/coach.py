"""The coach's turn: see, hold, cap, pause, note, write, and log for those whose phones are away."""

import re
from dataclasses import replace
from datetime import datetime, timedelta

from core.club import (
    Attached,
    Book,
    Closed,
    Due,
    DueKind,
    Entry,
    Event,
    Joined,
    Lifted,
    Member,
    Ordered,
    Outcome,
    ProfileBecomes,
    Revoked,
    Role,
    Said,
    Tapped,
    Withdrawn,
)
from core.conversation import answers, heard, requests, wording
from core.conversation.commands import (
    Command,
    LogLine,
    Unsure,
    command,
    log_lines,
    number,
    unit_of,
    unknown_name,
    until,
)
from core.conversation.engine import session_on
from core.conversation.turn import Turn, answer, line, milliseconds
from core.digest import athlete_lines, preview_lines, week_lines
from core.language.tables import exactly, phrases, plain
from core.orders import Order, OrderKind
from core.replies import VERSION, Context, read
from core.speech import Say, ToMember
from core.training import Aim, Json, Set, Weekday
from core.units import Unit, grams


def decide(book: Book, coach: Member, event: Event, now: datetime) -> Outcome:
    """What follows from a coach's message, tap, or week."""
    turn = Turn(coach.id, book.log(coach.id), now)
    match event:
        case Said():
            return Outcome() if event.foreign or event.revision else _said(book, turn, event)
        case Tapped():
            return _tapped(book, turn, event)
        case Joined():
            return answer(turn, line("coach.welcome"), line("help.medical"))
        case Due(kind=DueKind.DIGEST):
            return answer(turn, *week_lines(book, turn.today))
        case Due(kind=DueKind.PREVIEW):
            lines = preview_lines(book, event.day)
            return answer(turn, *lines) if lines else Outcome()
        case Due():
            return Outcome()
        case Withdrawn() | Attached():
            return Outcome()


def _said(book: Book, turn: Turn, event: Said) -> Outcome:
    athletes = tuple(one for one in book.roster() if one.role is Role.ATHLETE)
    language = turn.log.athlete.language
    question = answers.open_question(turn)
    if question is not None and question.about == "confirm":
        word = exactly(event.text, language, "answers")
        if word in ("yes", "no"):
            return _confirmed(book, turn, agreed=word == "yes")
    wished = exactly(event.text, language, "languages")
    if wished is not None:
        return requests.speak(turn, wished)
    reports = log_lines(event.text, athletes)
    if reports is not None:
        return _log_for(book, turn, event, reports)
    match command(event.text, athletes, language):
        case None if any(c.isdigit() for c in event.text):
            return answer(turn, line("coach.no_such", name=unknown_name(event.text, athletes)))
        case None:
            return answer(turn, line("coach.help"))
        case Unsure(candidates=()) as unsure:
            return answer(turn, line("coach.no_such", name=unsure.name or "?"))
        case Unsure() as unsure:
            names = ", ".join(one.name for one in unsure.candidates[:5])
            return answer(turn, line("coach.which", names=names))
        case Command() as order:
            return _obey(book, turn, order)


def _obey(book: Book, turn: Turn, order: Command) -> Outcome:
    if order.member is None:
        return answer(turn, *week_lines(book, turn.today)) if order.verb == "week" else answer(turn, line("coach.help"))
    log = book.log(order.member.id)
    if order.verb == "show":
        return answer(turn, *athlete_lines(log, turn.today))
    if order.verb == "write":
        return _write(turn, order)
    if order.verb in ("aim", "days", "clear"):
        return _profile(book, turn, order)
    if order.verb == "resume":
        return _resume(book, turn, order)
    if order.verb == "lift":
        return _lift(book, turn, order)
    if order.verb == "revoke":
        done = answer(turn, line("coach.revoked", name=order.member.name))
        return Outcome((Revoked(order.member.id),)) + done
    if order.verb == "set":
        return _planned(book, turn, order)
    return _ordered(book, turn, order)


def _write(turn: Turn, order: Command) -> Outcome:
    assert order.member is not None
    if not order.rest:
        return answer(turn, line("coach.write_what", name=order.member.name))
    said = Say(ToMember(order.member.id), (line("coach.says", name=turn.log.athlete.name, words=order.rest),))
    return Outcome(say=(said,)) + answer(turn, line("coach.sent", name=order.member.name))


def _profile(book: Book, turn: Turn, order: Command) -> Outcome:
    """Another aim, other days, or a clinician's all-clear."""
    assert order.member is not None
    from core.training import Screening

    athlete = book.log(order.member.id).athlete
    language = turn.log.athlete.language
    aim, days = exactly(order.rest, language, "aims"), _days(order.rest, language)
    if order.verb == "aim" and aim is not None:
        changed = replace(athlete, aim=Aim(aim))
    elif order.verb == "days" and days:
        changed = replace(athlete, training_days=days)
    elif order.verb == "clear":
        changed = replace(athlete, screening=Screening.CLEAR)
    else:
        return answer(turn, line(f"coach.{order.verb}_what", name=order.member.name))
    return Outcome((ProfileBecomes(order.member.id, changed),)) + answer(turn, line("coach.done", name=athlete.name))


def _days(rest: str, language: str) -> tuple[Weekday, ...]:
    words = plain(rest).split()
    return tuple(Weekday(day) for day, listed in phrases(language, "weekdays") if any(one in words for one in listed))


def _resume(book: Book, turn: Turn, order: Command) -> Outcome:
    """Everything open is settled by a person: pain, a stop, a pause."""
    assert order.member is not None
    who = order.member.id
    stops = [one for one in book.log(who).orders if one.kind is OrderKind.PAUSE and one.in_force(turn.today)]
    lifted = tuple(Lifted(who, one, turn.today - timedelta(days=1)) for one in stops)
    settled = Order(turn.today, "coach", OrderKind.SETTLED, turn.today)
    return Outcome((*lifted, Ordered(who, settled))) + answer(turn, line("coach.done", name=order.member.name))


STANDING = (OrderKind.HOLD, OrderKind.CAP, OrderKind.SET, OrderKind.NOTE)


def _lift(book: Book, turn: Turn, order: Command) -> Outcome:
    """The coach's standing wishes end; pain and stops are another matter: see `_resume`."""
    assert order.member is not None
    who, name = order.member.id, order.member.name
    standing = [one for one in book.log(who).orders if one.kind in STANDING and one.in_force(turn.today)]
    lifted = tuple(Lifted(who, one, turn.today - timedelta(days=1)) for one in standing)
    return Outcome(lifted) + answer(turn, line("coach.lifted", name=name, n=len(lifted)))


MINUS = re.compile(r"(?<!\d)-\s*\d")
MOST_CAP_KG = 300
LONGEST_NOTE = 500  # letters: a cue is read between two sets
ORDERS = {"hold": OrderKind.HOLD, "cap": OrderKind.CAP, "pause": OrderKind.PAUSE, "note": OrderKind.NOTE}


def _ordered(book: Book, turn: Turn, order: Command) -> Outcome:
    assert order.member is not None
    athlete = book.log(order.member.id).athlete
    kind = ORDERS[order.verb]
    last = until(order.rest, turn.today, turn.log.athlete.language)
    amount = number(order.rest) if kind is OrderKind.CAP else None
    if kind in (OrderKind.HOLD, OrderKind.PAUSE) and order.rest and (last is None or MINUS.search(order.rest)):
        return answer(turn, line("coach.until_what", name=athlete.name))
    heaviest = grams(MOST_CAP_KG, Unit.KG)
    if amount is not None and not 0 <= grams(amount, unit_of(order.rest, athlete.unit)) <= heaviest:
        amount = None
    if len(order.rest) > LONGEST_NOTE:
        return answer(turn, line("coach.too_long", n=LONGEST_NOTE))
    if (kind is OrderKind.CAP and amount is None) or (kind is OrderKind.NOTE and not order.rest):
        return answer(turn, line(f"coach.{order.verb}_what", name=athlete.name))
    unit = unit_of(order.rest, athlete.unit)
    given = Order(
        turn.today,
        "coach",
        kind,
        last,
        added_g=None if amount is None else grams(amount, unit),
        text=order.rest if kind is OrderKind.NOTE else "",
    )
    shown = line("coach.until", day=last) if last is not None else line("coach.until_lifted")
    limit = line("nothing") if amount is None else line("coach.at_most", mass=f"{amount:f} {unit}")
    told = line(f"coach.{order.verb}", name=athlete.name, until=shown, limit=limit)
    return Outcome((Ordered(order.member.id, given),)) + answer(turn, told)


def _planned(book: Book, turn: Turn, order: Command) -> Outcome:
    """The coach's own plan, "set Ines 5x5 at 10 rpe 8": what is left out is the engine's to fill in."""
    assert order.member is not None
    athlete = book.log(order.member.id).athlete
    context: Json = {"unit": athlete.unit.value, "language": turn.log.athlete.language, "bands": []}
    sets = read(order.rest, Context.from_json(context)).sets
    if not sets or len({one.reps for one in sets}) != 1:
        return answer(turn, line("coach.set_what", name=athlete.name))
    one = sets[-1]
    given = Order(turn.today, "coach", OrderKind.SET, added_g=one.added_g, sets=len(sets), reps=one.reps, rpe=one.rpe)
    load = line("nothing") if one.added_g is None else wording.load(one.added_g, ())
    told = line("coach.set", name=athlete.name, sets=len(sets), reps=one.reps, load=load)
    log = book.log(order.member.id)
    advice = session_on(replace(log, orders=(*log.orders, given)), turn.today)
    doubts = tuple(one for one in advice.cautions if one.key == "caution.order_unlikely")
    return Outcome((Ordered(order.member.id, given),)) + answer(turn, told, *doubts)


# --- a group night: the coach logs for others --------------------------------------------------------------


def _log_for(book: Book, turn: Turn, event: Said, reports: tuple[LogLine, ...]) -> Outcome:
    """Read each report in its athlete's context and show all of it for one confirmation."""
    readings: list[Json] = []
    lines = [line("coach.confirm_head")]
    for report in reports:
        theirs = Turn(report.member.id, book.log(report.member.id), event.sent)
        theirs = heard.with_session(theirs)[1]
        said = Said(report.member.id, event.message, 0, event.order, report.text, event.sent)
        context = heard.context_of(theirs, said, None)
        reading = read(report.text, Context.from_json(context)).to_json()
        facts = reading["sets"] or reading["pain"] is not None or reading["bodyweight_g"] is not None
        if reading["unclear"] is not None or not facts:
            return answer(turn, line("coach.not_read", name=report.member.name, words=report.text))
        done = [Set.from_json(one) for one in reading["sets"]]
        sets = wording.sets(done) if done and reading["pain"] is None else line("words", text=report.text)
        lines.append(line("coach.confirm_line", name=report.member.name, sets=sets))
        readings.append({"member": report.member.id, "text": report.text, "context": context, "reading": reading})
    labels = (line("yes"), line("no"))
    batch: tuple[Json, ...] = ({"reports": readings}, {"reports": []})
    return answers.ask(
        turn, "confirm", *lines, line("coach.confirm_ask"), readings=batch, labels=labels, numbered=False
    )


def _tapped(book: Book, turn: Turn, event: Tapped) -> Outcome:
    question = answers.open_question(turn)
    if question is None or question.id != event.question:
        return Outcome()
    return _confirmed(book, turn, agreed=event.choice == 0)


def _confirmed(book: Book, turn: Turn, agreed: bool) -> Outcome:
    question = answers.open_question(turn)
    assert question is not None
    closed = Outcome((Closed(turn.member, question.id),))
    if not agreed:
        return closed + answer(turn, line("coach.dropped"))
    outcome = closed
    for report in question.readings[0]["reports"]:
        theirs = Turn(report["member"], book.log(report["member"]), question.asked)
        prepared, theirs = heard.with_session(theirs)
        entry = Entry(
            f"coach:{question.id}:{report['member']}", 0, (milliseconds(question.asked), "~coach"), theirs.today,
            report["text"], report["context"], report["reading"], VERSION, turn.now,
        )  # fmt: skip
        outcome += prepared + heard.recorded(theirs, entry)
    return outcome + answer(turn, line("coach.logged", n=len(question.readings[0]["reports"])))
