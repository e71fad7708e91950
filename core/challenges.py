"""The club chat's board: sessions kept together. Planned sessions done against a shared goal; volume adds nothing."""

from datetime import date, timedelta

from core.club import Book, Log, Outcome, Role
from core.conversation.turn import line
from core.phrases import Phrase
from core.speech import Say, ToGroup


def board(book: Book, today: date) -> tuple[Phrase, ...]:
    """This week's board; only those who opted in are named, under the name they chose."""
    monday = today - timedelta(days=today.weekday())
    planned = done = 0
    named: list[Phrase] = []
    for member in book.roster():
        if member.role is not Role.ATHLETE:
            continue
        theirs, kept = _week(book.log(member.id), monday, today)
        planned, done = planned + theirs, done + kept
        if member.shown_as is not None and theirs:
            named.append(line("board.one", name=member.shown_as, done=kept, planned=theirs))
    goal = -(-planned * 4 // 5)  # four in five, rounded up
    head = line("board.head", done=done, planned=planned, goal=goal)
    return (head, *(named or (line("board.nobody"),)))


def _week(log: Log, monday: date, today: date) -> tuple[int, int]:
    """Planned sessions up to `today` and those of them in which every prescribed set was done."""
    week = [one for one in log.sessions if monday <= one.day <= today and one.prescribed]
    return len(week), sum(len(one.sets) >= len(one.prescribed) for one in week)


def group_said(book: Book, today: date) -> Outcome:
    """An answer in the club chat: the board, and nothing personal."""
    return Outcome(say=(Say(ToGroup(), board(book, today)),))
