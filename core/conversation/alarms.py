"""Signs that stop everything until a clinician has looked: no prescription, the coach is told."""

from dataclasses import replace

from core.club import DueKind, Ordered, Outcome, Said, Unplanned
from core.conversation.turn import Turn, answer, line, tell_coaches
from core.language.asked import alarming
from core.language.tables import plain
from core.orders import Order, OrderKind


def heard(turn: Turn, event: Said) -> tuple[Outcome, Turn]:
    """What follows where the text names such a sign, and the turn with the stop in force; else nothing."""
    if not alarming(event.text, turn.log.athlete.language):
        return Outcome(), turn
    order = Order(turn.today, "engine", OrderKind.PAUSE, text=plain(event.text)[:200])
    stopped = turn.with_log(replace(turn.log, orders=(*turn.log.orders, order)))
    outcome = Outcome((Ordered(turn.member, order), Unplanned(turn.member, DueKind.CLOSE, turn.today)))
    to_athlete = answer(turn, line("alarm.athlete"), line("alarm.doctor"))
    to_coach = tell_coaches(line("alarm.coach", name=turn.log.athlete.name, words=event.text[:200]))
    return outcome + to_athlete + to_coach, stopped
