"""Values to and from what a column holds. Each pair is inverse to the other."""

from datetime import UTC, date, datetime, time
from typing import Any, assert_never

from core.club import Entry, Question
from core.phrases import Mass, Phrase, Value
from core.speech import Button
from core.training import Set


def ms(instant: datetime) -> int:
    """Milliseconds since 1970, UTC."""
    return round(instant.timestamp() * 1000)


def instant(milliseconds: int) -> datetime:
    return datetime.fromtimestamp(milliseconds / 1000, UTC)


def phrase_to_json(value: Value) -> Any:
    """Numbers and strings as they are; everything else tagged by a one-key object."""
    match value:
        case Phrase():
            return {"phrase": [value.key, {name: phrase_to_json(one) for name, one in value.values}]}
        case Mass():
            return {"mass_g": value.mass_g}
        case datetime():
            return {"instant": value.isoformat()}
        case date():
            return {"day": value.isoformat()}
        case time():
            return {"time": value.isoformat()}
        case tuple():
            return [phrase_to_json(one) for one in value]
        case int() | float() | str():
            return value
        case _:
            assert_never(value)


def phrase_from_json(data: Any) -> Value:
    if isinstance(data, list):
        return tuple(phrase_from_json(one) for one in data)
    if not isinstance(data, dict):
        plain: int | float | str = data
        return plain
    ((tag, content),) = data.items()
    match tag:
        case "phrase":
            key, values = content
            return Phrase(key, tuple((name, phrase_from_json(one)) for name, one in values.items()))
        case "mass_g":
            return Mass(content)
        case "instant":
            return datetime.fromisoformat(content)
        case "day":
            return date.fromisoformat(content)
        case _:
            return time.fromisoformat(content)


def button_to_json(button: Button) -> Any:
    return [phrase_to_json(button.label), button.question, button.choice, button.numbered]


def button_from_json(data: Any) -> Button:
    label = phrase_from_json(data[0])
    assert isinstance(label, Phrase)
    return Button(label, *data[1:])


def set_to_row(done: Set) -> dict[str, Any]:
    """The columns of a done set, without its key."""
    return {
        "exercise": done.exercise.value,
        "reps": done.reps,
        "added_g": done.added_g,
        "bands": None if done.bands is None else list(done.bands),
        "rpe_halves": None if done.rpe is None else int(done.rpe * 2),
        "failed": done.failed,
        "seconds": done.seconds,
    }


def set_from_row(row: Any) -> Set:
    halves = row.rpe_halves
    return Set.from_json(
        {
            "reps": row.reps,
            "added_g": row.added_g,
            "bands": row.bands,
            "rpe": None if halves is None else halves / 2,
            "failed": row.failed,
            "exercise": row.exercise,
            "seconds": row.seconds,
        }
    )


def entry_to_row(entry: Entry) -> dict[str, Any]:
    return {
        "message": entry.message,
        "revision": entry.revision,
        "written": entry.order[0],
        "written_tie": entry.order[1],
        "day": entry.day.isoformat(),
        "text": entry.text,
        "context": entry.context,
        "reading": entry.reading,
        "reader": entry.reader,
        "heard_ms": ms(entry.heard),
    }


def entry_from_row(row: Any) -> Entry:
    return Entry(
        message=row.message,
        revision=row.revision,
        order=(row.written, row.written_tie),
        day=date.fromisoformat(row.day),
        text=row.text,
        context=row.context,
        reading=row.reading,
        reader=row.reader,
        heard=instant(row.heard_ms),
    )


def question_to_row(question: Question) -> dict[str, Any]:
    return {
        "id": question.id,
        "about": question.about,
        "asked_ms": ms(question.asked),
        "expires_ms": ms(question.expires),
        "day": question.day.isoformat(),
        "subject": question.subject,
        "readings": list(question.readings),
    }


def question_from_row(row: Any) -> Question:
    return Question(
        id=row.id,
        about=row.about,
        asked=instant(row.asked_ms),
        expires=instant(row.expires_ms),
        day=date.fromisoformat(row.day),
        subject=row.subject,
        readings=tuple(row.readings),
    )
