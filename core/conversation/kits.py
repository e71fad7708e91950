"""The kit by message: what is there, what is missing today, a band's readings. Nothing is kept before a yes."""

from datetime import timedelta

from core.club import Closed, KitBecomes, Outcome, Question, Said
from core.conversation import answers, sessions
from core.conversation.turn import Turn, answer, line
from core.kit import kit_from_json
from core.kit_messages import read_kit
from core.problems import BadInput
from core.training import Json


def heard(turn: Turn, event: Said) -> Outcome | None:
    """The list to confirm where the text is about the kit; None where it is not."""
    athlete = turn.log.athlete
    known = kit_from_json(turn.kit() or {"unit": athlete.unit.value}, "kit")
    try:
        change = read_kit(event.text, known, athlete.language)
    except BadInput as mistake:
        return answer(turn, line("words", text=str(mistake.problems[0])))
    if change is None:
        return None
    if change.unclear:
        return answer(turn, *change.unclear)
    readings: tuple[Json, ...] = (change.to_json(), {})
    labels = (line("yes"), line("no"))
    return answers.ask(turn, "kit", change.question, readings=readings, labels=labels, numbered=False)


def confirmed(turn: Turn, question: Question, agreed: bool) -> Outcome:
    """Keep the kit; one for today only goes back tomorrow. A session that has not begun is worked out anew."""
    closed = Outcome((Closed(turn.member, question.id),))
    if not agreed:
        return closed + answer(turn, line("kit.dropped"))
    chosen = question.readings[0]
    changes = [KitBecomes(turn.member, turn.today, chosen["kit"])]
    log = turn.log
    if chosen["today"]:
        changes.append(KitBecomes(turn.member, turn.today + timedelta(days=1), turn.kit()))
    kits = dict(log.kits) | {one.day: one.kit for one in changes}
    after = turn.with_kits(tuple(sorted(kits.items())))
    outcome = closed + Outcome(tuple(changes)) + answer(turn, line("kit.kept"))
    session = after.session(after.today)
    if session.prescribed and not session.sets:
        outcome += sessions.show(after)
    return outcome
