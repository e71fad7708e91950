"""A photo, a film or a voice note is no dead end: one tap sends it to the coach, whose note comes back as a cue."""

from core.club import Attached, Closed, Outcome, Question
from core.conversation import answers
from core.conversation.turn import Turn, answer, line
from core.phrases import Phrase
from core.speech import Say, ToCoaches
from core.training import Json

KINDS = {
    "photo": "photo", "video": "film", "video_note": "film", "animation": "film", "voice": "voice", "audio": "voice",
}  # fmt: skip


def attached(turn: Turn, event: Attached) -> Outcome:
    """Ask whether it goes to the coach."""
    kind = KINDS.get(event.kind, "file")
    messenger, chat, message = event.message.split(" ", 2)
    copy: Json = {"messenger": messenger, "chat": chat, "message": message}
    readings: tuple[Json, ...] = ({"kind": kind, "copy": copy}, {})
    labels = (line("yes"), line("no"))
    asked = line("media.ask", kind=_kind(kind))
    return answers.ask(turn, "media", asked, readings=readings, labels=labels, numbered=False)


def _kind(kind: str) -> Phrase:
    return line(f"media.{kind}")


def confirmed(turn: Turn, question: Question, agreed: bool) -> Outcome:
    """Show it to the coaches, with how to answer; or leave it where it is."""
    closed = Outcome((Closed(turn.member, question.id),))
    if not agreed:
        return closed + answer(turn, line("media.kept"))
    sent = question.readings[0]
    told = line("media.coach", name=turn.log.athlete.name, kind=_kind(sent["kind"]))
    to_coaches = Outcome(say=(Say(ToCoaches(), (told,), picture={"copy": sent["copy"]}),))
    return closed + to_coaches + answer(turn, line("media.sent"))
