"""A photo, a film or a voice note is no dead end: it goes to the coach, and the coach's words come back."""

from core.club import Attached, Outcome
from core.conversation.turn import Turn, answer, line, tell_coaches


def attached(turn: Turn, event: Attached) -> Outcome:
    """Tell the coach, and tell the athlete that sets are logged by text."""
    kind = line(f"media.{event.kind}") if event.kind in ("photo", "film", "voice") else line("media.file")
    told = tell_coaches(line("media.coach", name=turn.log.athlete.name, kind=kind))
    return told + answer(turn, line("media.athlete", kind=kind))
