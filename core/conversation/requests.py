"""Questions and small talk: answered where we know the answer, never lectured."""

from dataclasses import replace
from datetime import timedelta

from core.club import Entry, Heard, Lifted, Outcome, ProfileBecomes, Said, Told
from core.conversation import acknowledge, kits, sessions, wording
from core.conversation.engine import session_on
from core.conversation.turn import Turn, answer, line
from core.language.asked import request
from core.language.tables import exactly
from core.orders import OrderKind
from core.phrases import Phrase
from core.replies import examples


def heard(turn: Turn, event: Said, entry: Entry) -> Outcome:
    """The answer to a text that records nothing. The words are kept for the coach."""
    kept = Outcome((Heard(turn.member, entry),))
    language = exactly(event.text, turn.log.athlete.language, "languages")
    if language is not None:
        return kept + speak(turn, language)
    match request(event.text, turn.log.athlete.language):
        case "next":
            return kept + sessions.show(turn)
        case "hang":
            return kept + _hang(turn)
        case "heavy":
            return kept + _heavy(turn)
        case "why":
            return kept + _why(turn)
        case "record":
            return kept + _record(turn)
        case "back":
            return kept + _back(turn)
        case "stop":
            return kept + _stop(turn)
        case "help":
            return kept + answer(turn, *help_lines(turn))
        case _:
            return kept + (kits.heard(turn, event) or _small_talk(turn))


def speak(turn: Turn, language: str) -> Outcome:
    """Everything is said in this language from now on."""
    athlete = replace(turn.log.athlete, language=language)
    return Outcome((ProfileBecomes(turn.member, athlete),)) + answer(turn, line("language"))


def help_lines(turn: Turn) -> tuple[Phrase, ...]:
    """What can be typed, by example."""
    shown = examples(turn.log.athlete.language)[:6]
    return (
        line("help.head"),
        *(line("words", text=one.text) for one in shown),
        line("help.asks"),
        line("help.medical"),
    )


def _hang(turn: Turn) -> Outcome:
    advice = session_on(turn.log, turn.today)
    lines = wording.hang_lines(len(advice.warm_up), advice.to_json().get("hang") or {}) if advice.sets else ()
    return answer(turn, *(lines or (line("hang.nothing"),)))


def _heavy(turn: Turn) -> Outcome:
    advice = session_on(turn.log, turn.today)
    if not advice.sets:
        return sessions.show(turn)
    return answer(turn, line("next.head", day=advice.day), *wording.prescribed(advice.sets))


def _why(turn: Turn) -> Outcome:
    said = session_on(turn.log, turn.today).to_json()["why"]
    return answer(turn, *(line("words", text=one) for one in said[:3]))


def _record(turn: Turn) -> Outcome:
    done = turn.session(turn.today).sets
    if not done:
        return answer(turn, line("ack.empty"))
    return answer(turn, line("ack.record", day=turn.today, sets=wording.sets(done)))


def _back(turn: Turn) -> Outcome:
    """ "I'm back": whatever was said of days away ends yesterday."""
    away = [one for one in turn.log.orders if one.kind is OrderKind.AWAY and (one.until or turn.today) >= turn.today]
    if not away:
        return sessions.show(turn)
    lifted = tuple(Lifted(turn.member, one, turn.today - timedelta(days=1)) for one in away)
    here = turn.with_log(replace(turn.log, orders=tuple(one for one in turn.log.orders if one not in away)))
    return Outcome(lifted) + answer(turn, line("ack.back")) + sessions.show(here)


def _stop(turn: Turn) -> Outcome:
    """ "that's me for today": the session is over as it stands."""
    if not turn.session(turn.today).sets or f"closed:{turn.today}" in turn.log.told:
        return Outcome()
    return acknowledge.close(turn)


def _small_talk(turn: Turn) -> Outcome:
    """Once a day a hint of what we understand; after that, silence."""
    code = f"hint:{turn.today}"
    if code in turn.log.told:
        return Outcome()
    return Outcome((Told(turn.member, code),)) + answer(turn, line("hint"))
