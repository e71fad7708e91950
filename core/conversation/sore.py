"""Pain: asked about at once, asked about the next morning, and shown to a person when it is high."""

from datetime import date, timedelta

from core.club import DueKind, Entry, Ordered, Outcome, Planned, Unplanned
from core.conversation import answers
from core.conversation.turn import Turn, answer, line, tell_coaches
from core.language.places import place
from core.orders import Order, OrderKind
from core.phrases import Phrase
from core.safety import EASY_PAIN, RED_FLAGS, STOP_PAIN
from core.training import Pain

STILL_ASKED = timedelta(days=7)


def reported(turn: Turn, entry: Entry) -> Outcome:
    """What follows from pain in a message: its zone's advice, or the question for its score."""
    pain = turn.session(entry.day).pain or Pain.from_json(entry.reading["pain"] or {})
    tomorrow = turn.today + timedelta(days=1)
    asks = Planned(turn.member, DueKind.MORNING, tomorrow, turn.at(tomorrow, turn.log.athlete.hour))
    planned = Outcome((asks,))
    if pain.place in RED_FLAGS:
        return planned + answer(turn, line("pain.chest"), line("alarm.doctor")) + _coach(turn, pain)
    if pain.score is None:
        question = line("pain.ask", place=_place(pain))
        return planned + answers.ask(turn, "pain", question, line("pain.until_then"), subject=pain.place or "")
    if pain.score >= STOP_PAIN:
        stop = answer(turn, line("pain.stop", place=_place(pain), score=pain.score), line("pain.clinician"))
        return planned + Outcome((Unplanned(turn.member, DueKind.CLOSE, turn.today),)) + stop + _coach(turn, pain)
    if pain.score > EASY_PAIN:
        return planned + answer(turn, line("pain.hold", place=_place(pain), score=pain.score))
    return planned + answer(turn, line("pain.easy", place=_place(pain), score=pain.score))


def _place(pain: Pain) -> Phrase:
    return line("place.somewhere") if pain.place is None else line("place.named", place=place(pain.place))


def _coach(turn: Turn, pain: Pain) -> Outcome:
    score = line("pain.unscored") if pain.score is None else line("pain.scored", score=pain.score)
    morning = line("nothing") if pain.morning is None else line("pain.and_morning", score=pain.morning)
    where = line("place.unsaid") if pain.place is None else place(pain.place)
    name = turn.log.athlete.name
    return tell_coaches(line("pain.coach", name=name, place=where, score=score, morning=morning))


def is_waiting(turn: Turn) -> bool:
    """Whether a sore place of the last days has no answer for its next morning."""
    return _unanswered(turn) is not None


def _unanswered(turn: Turn) -> tuple[Pain, date] | None:
    sore = [one for one in turn.log.sessions if one.pain is not None and one.day < turn.today][-1:]
    if not sore or turn.today - sore[0].day > STILL_ASKED:
        return None
    pain, day = sore[0].pain, sore[0].day
    if pain is None or pain.morning is not None or _settled_since(turn, day, pain):
        return None
    return pain, day


def ask_morning(turn: Turn) -> Outcome:
    """The morning after: how is it now? Asked again before the next session where it stayed unanswered."""
    waits, found = answers.open_question(turn), _unanswered(turn)
    if found is None or (waits is not None and waits.about == "morning"):
        return Outcome()
    pain, day = found
    asked = answers.ask(turn, "morning", line("pain.morning", place=_place(pain)), subject=pain.place or "")
    return answers.about_day(asked, day)


def _settled_since(turn: Turn, day: date, pain: Pain) -> bool:
    """Whether a person has said that it has settled; after high pain the athlete's word does not spare the question."""
    high = pain.score is not None and pain.score >= STOP_PAIN
    words = [one for one in turn.log.orders if one.kind is OrderKind.SETTLED and one.day >= day]
    return any(one.by == "coach" or not high for one in words)


def next_morning(turn: Turn, entry: Entry) -> Outcome:
    """The answer next morning: settled or not; then the session that has waited for it."""
    from core.conversation import sessions

    morning = int(entry.reading["morning"])
    pain = turn.session(entry.day).pain or Pain()
    before = pain.score if pain.score is not None else EASY_PAIN
    session = sessions.after_answer(turn)
    if morning >= STOP_PAIN or (morning > EASY_PAIN and morning > before):
        told = answer(turn, line("pain.worse"), line("pain.clinician"))
        return told + _coach(turn, pain)
    return answer(turn, line("pain.settled" if morning <= EASY_PAIN else "pain.not_settled")) + session


def healed(turn: Turn, named: str) -> Outcome:
    """ "elbow's fine now": a word that settles that place; of another place it settles nothing."""
    sore = [one.pain for one in turn.log.sessions if one.pain is not None][-1:]
    if not sore or (sore[0].place is not None and sore[0].place != named):
        return Outcome()
    order = Order(turn.today, "athlete", OrderKind.SETTLED, turn.today, text=named)
    return Outcome((Ordered(turn.member, order),)) + answer(turn, line("pain.healed", place=place(named)))
