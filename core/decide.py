"""The one heart: an event and what is on record give the changes and the words. No clock, no network, no SQL."""

from datetime import datetime
from typing import assert_never

from core.club import Attached, Book, Due, Event, Joined, Member, Outcome, Role, Said, Tapped, Withdrawn
from core.conversation import answers, coach, heard, joining, media, sessions
from core.conversation.turn import Turn


def decide(book: Book, event: Event, now: datetime) -> Outcome:
    """What follows from `event` at the instant `now` (aware)."""
    member = book.member(event.member)
    if member is None:
        return Outcome()
    if member.role is Role.COACH:
        return coach.decide(book, member, event, now)
    if member.role is Role.GUARDIAN:
        return joining.guardian(book, member, event, now)
    return _athlete(book, member, event, now)


def _athlete(book: Book, member: Member, event: Event, now: datetime) -> Outcome:
    log = book.log(member.id)
    match event:
        case Said():
            return heard.said(Turn(member.id, log, event.sent), event)
        case Withdrawn():
            return heard.withdrawn(Turn(member.id, log, now), event)
        case Tapped():
            return answers.tapped(Turn(member.id, log, now), event)
        case Attached():
            return media.attached(Turn(member.id, log, now), event)
        case Due():
            return sessions.due(Turn(member.id, log, now), event)
        case Joined():
            return joining.joined(Turn(member.id, log, now), event)
        case _:
            assert_never(event)
