"""What we have asked, and what a bare number, a word or a tap then means. An old question is harmless."""

from dataclasses import replace
from datetime import date, timedelta

from core.club import Asked, Closed, Entry, Outcome, ProfileBecomes, Question, Said, Tapped
from core.conversation.turn import Turn, answer, line, milliseconds, tell_coaches
from core.language.tables import exactly
from core.phrases import Phrase
from core.safety import is_young
from core.speech import Button, Say, ToMember
from core.training import Json, Screening

PATIENCE = timedelta(hours=12)
NUMERIC = {"pain": "pain", "morning": "pain", "effort": "effort", "bodyweight": "bodyweight", "choice": "choice"}


def open_question(turn: Turn) -> Question | None:
    """The question that still waits for its answer at this instant."""
    question = turn.log.question
    return question if question is not None and turn.now < question.expires else None


def asked(turn: Turn) -> Json | None:
    """The question as the reader's context tells it."""
    question = open_question(turn)
    if question is None or question.about not in NUMERIC:
        return None
    return {"about": NUMERIC[question.about], "place": question.subject or None, "choices": len(question.readings)}


def ask(turn: Turn, about: str, *lines: Phrase, **more: object) -> Outcome:
    """Put a question; `subject`, `readings` and `labels` (one a reading) as the question needs them.

    `numbered=False`: without buttons the labels are shown as they are, for they are typed as words or ratings.
    """
    readings: tuple[Json, ...] = tuple(more.get("readings", ()))  # type: ignore[arg-type]
    labels: tuple[Phrase, ...] = tuple(more.get("labels", ()))  # type: ignore[arg-type]
    question = Question(
        id=f"{milliseconds(turn.now):x}-{about}",
        about=about,
        asked=turn.now,
        expires=turn.now + PATIENCE,
        day=turn.today,
        subject=str(more.get("subject", "")),
        readings=readings,
    )
    numbered = bool(more.get("numbered", True))
    buttons = tuple(Button(label, question.id, choice, numbered) for choice, label in enumerate(labels))
    return Outcome((Asked(turn.member, question),), (Say(ToMember(turn.member), lines, buttons=buttons),))


def about_day(outcome: Outcome, day: date) -> Outcome:
    """The same question, about an earlier day."""
    changes = tuple(
        replace(one, question=replace(one.question, day=day)) if isinstance(one, Asked) else one
        for one in outcome.changes
    )
    return replace(outcome, changes=changes)


def of_question(turn: Turn, reading: Json) -> Json:
    """The reading with an answer to the open question turned into what it settles."""
    question = open_question(turn)
    if question is None or reading.get("unclear") is not None:
        return reading
    pain = reading.get("pain") or {}
    bare = pain.get("score") is not None and pain.get("place") in (None, question.subject or None)
    if question.about == "pain" and bare:
        return reading | {"pain": None, "pain_score": pain["score"], "answers": question.id}
    if question.about == "morning" and bare:
        settled = {"pain": None, "morning": pain["score"], "day": question.day.isoformat(), "answers": question.id}
        return reading | settled
    if question.about == "effort" and reading.get("effort") is not None:
        return reading | {"answers": question.id}
    choice = reading.get("choice")
    if question.about == "choice" and isinstance(choice, int) and 1 <= choice <= len(question.readings):
        return question.readings[choice - 1] | {"answers": question.id}
    return reading


def heard(turn: Turn, event: Said) -> Outcome | None:
    """The outcome where the text answers a question of words (yes, no, skip); None where it does not."""
    from core.conversation import kits, media

    question = open_question(turn)
    if question is None or question.about in NUMERIC:
        return None
    word = exactly(event.text, turn.log.athlete.language, "answers")
    if question.about == "screening" and word in ("yes", "no"):
        return _screened(turn, question, clear=word == "no")
    if question.about == "born":
        return _born(turn, question, event.text)
    if question.about in ("kit", "media") and word in ("yes", "no"):
        settle = kits.confirmed if question.about == "kit" else media.confirmed
        return settle(turn, question, agreed=word == "yes")
    return None


def tapped(turn: Turn, event: Tapped) -> Outcome:
    """A button of the open question; anything older changes nothing."""
    from core.conversation import kits, media
    from core.conversation.heard import recorded

    question = open_question(turn)
    if question is None or question.id != event.question or not 0 <= event.choice < len(question.readings):
        return Outcome()
    chosen = question.readings[event.choice]
    if question.about == "screening":
        return _screened(turn, question, clear=chosen["screening"] == Screening.CLEAR.value)
    if question.about in ("kit", "media"):
        settle = kits.confirmed if question.about == "kit" else media.confirmed
        return settle(turn, question, agreed=event.choice == 0)
    reading = chosen | {"answers": question.id}
    return recorded(turn, answer_entry(turn, question, reading))


def answer_entry(turn: Turn, question: Question, reading: Json) -> Entry:
    """The tap as an entry of the log, so that it folds like a message."""
    order = (milliseconds(turn.now), "~answer")
    return Entry(f"answer:{question.id}", 0, order, question.day, "", {}, reading, "tap", turn.now)


def ask_screening(turn: Turn) -> Outcome:
    """The questions before the first session, in one message; only the outcome is kept."""
    outcomes = ({"screening": Screening.CLEAR.value}, {"screening": Screening.REFERRED.value})
    return ask(
        turn,
        "screening",
        line("screening.intro"),
        *(line(f"screening.question_{number}") for number in range(1, 8)),
        line("screening.ask"),
        readings=outcomes,
        labels=(line("screening.none"), line("screening.some")),
        numbered=False,
    )


def ask_born(turn: Turn) -> Outcome:
    """The year of birth, before anything else: it decides what is safe."""
    return ask(turn, "born", line("born.ask"))


def _born(turn: Turn, question: Question, text: str) -> Outcome | None:
    """A year or an ISO date; of a year the last day, so that nobody is taken for older than they are."""
    word = text.strip()
    try:
        born = date.fromisoformat(word) if "-" in word else date(int(word[:5]), 12, 31)
    except ValueError:
        return None
    if not 1900 <= born.year <= turn.today.year:
        return None
    athlete = replace(turn.log.athlete, born=born)
    kept = Outcome((Closed(turn.member, question.id), ProfileBecomes(turn.member, athlete)))
    return kept + ask_screening(turn.with_log(replace(turn.log, athlete=athlete, question=None)))


def _young(turn: Turn, question: Question) -> Outcome:
    """Under 16 or of unknown age: a guardian agrees first, and the coach says so."""
    name = turn.log.athlete.name
    told = tell_coaches(line("young.coach", name=name))
    return Outcome((Closed(turn.member, question.id),)) + answer(turn, line("young.athlete")) + told


def _screened(turn: Turn, question: Question, clear: bool) -> Outcome:
    outcome = Screening.CLEAR if clear else Screening.REFERRED
    athlete = replace(turn.log.athlete, screening=outcome)
    kept = Outcome((Closed(turn.member, question.id), ProfileBecomes(turn.member, athlete)))
    if clear and is_young(athlete, turn.today):
        return _young(turn, question)
    if not clear:
        told = tell_coaches(line("screening.coach", name=athlete.name))
        return kept + answer(turn, line("screening.referred")) + told
    return kept + answer(turn, line("screening.clear"))
