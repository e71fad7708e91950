"""What was understood, in few words, and what comes next: the card while sets come in, one text at the close."""

from datetime import date, timedelta

from core.club import (
    Closed,
    DueKind,
    Entry,
    Ordered,
    Outcome,
    Planned,
    Told,
    Unplanned,
)
from core.conversation import answers, sore, wording
from core.conversation.engine import session_after
from core.conversation.turn import Turn, answer, line
from core.orders import Order, OrderKind
from core.phrases import Mass, Phrase
from core.record import fold
from core.speech import React, Say, ToMember
from core.training import Json, Set

CLOSES_AFTER = timedelta(minutes=90)
EFFORTS = (6.0, 7.0, 8.0, 9.0, 10.0)


def understood(turn: Turn, after: Turn, entry: Entry, original: Entry | None, alarmed: bool = False) -> Outcome:
    """The answer to an entry; `turn` stands before it, `after` behind it."""
    reading = entry.reading
    outcome = _answered(turn, reading)
    if _is_message(entry) and original is None and reading.get("unclear") is None:
        outcome += Outcome(say=(React(turn.member, entry.message),))
    outcome += _facts(after, reading)
    if not alarmed and (reading.get("pain") is not None or reading.get("pain_score") is not None):
        outcome += sore.reported(after, entry)
    if reading.get("morning") is not None:
        outcome += sore.next_morning(after, entry)
    if reading.get("healed") is not None and not alarmed:
        outcome += sore.healed(after, reading["healed"])
    if reading.get("unclear") is not None:
        return outcome + _ask_which(after, reading["unclear"])
    return outcome + _about_sets(turn, after, entry, original)


def _is_message(entry: Entry) -> bool:
    """Whether the athlete wrote it: no tap, and not the coach on a group night."""
    return not entry.message.startswith(("answer:", "coach:"))


def _answered(turn: Turn, reading: Json) -> Outcome:
    question = reading.get("answers")
    return Outcome() if question is None else Outcome((Closed(turn.member, question),))


def _facts(turn: Turn, reading: Json) -> Outcome:
    """Body weight, a skipped day, another day, days away: one line each."""
    lines: list[Phrase] = []
    outcome = Outcome()
    if reading.get("bodyweight_g") is not None:
        lines.append(line("ack.bodyweight", mass=Mass(reading["bodyweight_g"])))
    if reading.get("away") is not None:
        first, last = (date.fromisoformat(one) for one in reading["away"])
        outcome += Outcome((Ordered(turn.member, Order(first, "athlete", OrderKind.AWAY, last)),))
        lines.append(line("ack.away", first=first, last=last))
    elif reading.get("move_to") is not None:
        day = date.fromisoformat(reading["move_to"])
        outcome += Outcome((Ordered(turn.member, Order(day, "athlete", OrderKind.EXTRA, day)),))
        lines.append(line("ack.moved", day=day))
    elif reading.get("skipped") and turn.session(turn.today).sets:  # stopping early is no skipping
        lines.append(line("ack.record", day=turn.today, sets=wording.sets(turn.session(turn.today).sets)))
    elif reading.get("skipped"):
        lines += [line("ack.skipped"), *next_lines(turn, brief=True)]
    return outcome + answer(turn, *lines) if lines else outcome


def _ask_which(turn: Turn, unclear: Json) -> Outcome:
    """At most three choices, the likeliest first; without any, one sentence with an example."""
    readings = tuple(one for one in unclear["readings"] if _says(one))[:3]
    if not readings:
        return answer(turn, line("ask.again", example=_example(turn)))
    labels = tuple(_label(reading) for reading in readings)
    return answers.ask(turn, "choice", line("ask.which"), readings=readings, labels=labels)


def _says(reading: Json) -> bool:
    return bool(reading.get("sets")) or reading.get("mode") == "replace" or reading.get("bodyweight_g") is not None


def _label(reading: Json) -> Phrase:
    if reading.get("bodyweight_g") is not None and not reading.get("sets"):
        return line("ack.bodyweight", mass=Mass(reading["bodyweight_g"]))
    return wording.sets([Set.from_json(one) for one in reading["sets"]])


def _example(turn: Turn) -> Phrase:
    session = turn.session(turn.today)
    added = session.prescribed[0].added_g if session.prescribed else 7500
    return line("example", mass=Mass(added)) if added else line("example_plain")


def _about_sets(turn: Turn, after: Turn, entry: Entry, original: Entry | None) -> Outcome:
    before, now = fold(turn.entries(entry.day)).sets, fold(after.entries(entry.day)).sets
    if original is not None and now == before:
        return answer(after, line("ack.edit_without_effect")) if entry.reading.get("mode") != "none" else Outcome()
    if now == before and entry.reading.get("mode") == "none":
        return Outcome()
    if original is not None or entry.reading.get("mode") == "replace":
        head = line("ack.corrected", sets=wording.sets(now)) if now else line("ack.empty")
    else:
        head = line("ack.sets", sets=wording.sets(now))
    if entry.day != after.today:
        return answer(after, line("ack.other_day", day=entry.day), head)
    return _live(after, head, now)


def _live(turn: Turn, head: Phrase, done: tuple[Set, ...]) -> Outcome:
    """The card of today's session, and the close once every prescribed set is done."""
    planned = turn.session(turn.today).prescribed
    if f"closed:{turn.today}" in turn.log.told:
        return _card(turn, head)
    if planned and len(done) >= len(planned):
        return close(turn)
    due = Planned(turn.member, DueKind.CLOSE, turn.today, turn.now + CLOSES_AFTER)
    left = planned[len(done) :]
    if not left:
        return Outcome((due,)) + _card(turn, head)
    following = line("ack.next_set", n=len(done) + 1, of=len(planned), part=wording.prescribed(left[:1])[0])
    changes = bool(done) and (left[0].added_g, left[0].bands) != (done[-1].added_g, done[-1].bands)
    card = _card(turn, head, following)
    if changes and (left[0].added_g, left[0].bands) != (planned[0].added_g, planned[0].bands):
        card += answer(turn, line("ack.change_load", load=wording.load(left[0].added_g, left[0].bands)))
    return Outcome((due,)) + card


def _card(turn: Turn, *lines: Phrase) -> Outcome:
    return Outcome(say=(Say(ToMember(turn.member), lines, slot=f"card:{turn.today}", silent=True),))


def close(turn: Turn) -> Outcome:
    """The session is over: all of it, what comes next, and how hard the last set was, once."""
    done = turn.session(turn.today).sets
    code = f"closed:{turn.today}"
    changes = Outcome((Told(turn.member, code), Unplanned(turn.member, DueKind.CLOSE, turn.today)))
    lines = (line("close.head", sets=wording.sets(done)), *next_lines(turn))
    if done and done[-1].rpe is None and not done[-1].failed and answers.open_question(turn) is None:
        asked = answers.ask(
            turn,
            "effort",
            *lines,
            line("ask.effort"),
            readings=tuple({"effort": rpe, "mode": "none", "sets": []} for rpe in EFFORTS),
            labels=tuple(line("effort.button", rpe=rpe, n=int(10 - rpe)) for rpe in EFFORTS),
            numbered=False,
        )
        return changes + asked
    return changes + answer(turn, *lines)


def next_lines(turn: Turn, brief: bool = False) -> tuple[Phrase, ...]:
    """What comes next: the day, the sets, what to hang, one reason; or why there is nothing."""
    advice = session_after(turn.log, turn.today)
    if not advice.sets:
        return tuple(line("words", text=why) for why in advice.to_json()["why"][:1])
    head = (line("next.head", day=advice.day), *wording.prescribed(advice.sets))
    if brief:
        return head
    shown = advice.to_json()
    hang = wording.hang_lines(len(advice.warm_up), shown.get("hang") or {})
    reason = tuple(line("words", text=why) for why in shown["why"][:1])
    return (*head, *hang, *reason)
