"""The first minutes: what this is and is not, what is kept, and the questions before the first session."""

from datetime import datetime

from core.club import Book, Event, Joined, Member, Outcome, ProfileBecomes, Said, Told
from core.conversation import answers, sessions
from core.conversation.turn import Turn, answer, line
from core.language.tables import spoken
from core.training import Screening


def joined(turn: Turn, event: Joined) -> Outcome:
    """Welcome, cautions, what is kept; then the screening questions, or the session where they are answered."""
    from dataclasses import replace

    athlete = turn.log.athlete
    changes = Outcome((Told(turn.member, "welcome"),))
    if event.language is not None and spoken(event.language) != athlete.language and "welcome" not in turn.log.told:
        athlete = replace(athlete, language=spoken(event.language))
        turn = turn.with_log(replace(turn.log, athlete=athlete))
        changes += Outcome((ProfileBecomes(turn.member, athlete),))
    welcome = (line("join.welcome", name=athlete.name), line("help.medical"), line("join.kept"))
    if athlete.screening is Screening.PENDING:
        asked = answers.ask_born(turn) if athlete.born is None else answers.ask_screening(turn)
        return changes + answer(turn, *welcome) + asked
    return changes + answer(turn, *welcome) + sessions.show(turn)


def guardian(book: Book, member: Member, event: Event, now: datetime) -> Outcome:
    """A guardian reads along; what they write goes to the coach."""
    turn = Turn(member.id, book.log(member.id), now)
    match event:
        case Joined():
            return answer(turn, line("join.guardian"), line("help.medical"))
        case Said():
            from core.conversation.turn import tell_coaches

            return tell_coaches(line("join.guardian_says", name=member.name, words=event.text))
        case _:
            return Outcome()
