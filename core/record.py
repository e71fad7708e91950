"""From readings to a day's record: a fold over the current revision of every message, in the order written."""

from collections.abc import Iterable
from dataclasses import replace

from core.club import DayRecord, Entry
from core.training import Json, Pain, Set


def current(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """The newest revision of each message, in the order the messages were written."""
    newest: dict[str, Entry] = {}
    for entry in entries:
        known = newest.get(entry.message)
        if known is None or entry.revision >= known.revision:
            newest[entry.message] = entry
    return tuple(sorted(newest.values(), key=lambda entry: (entry.order, entry.message)))


def fold(entries: Iterable[Entry]) -> DayRecord:
    """The record that these entries of one day add up to.

    A `replace` reading holds the whole record as its writer saw it, so what stands before it no longer counts.
    """
    record = DayRecord()
    for entry in current(entries):
        record = _then(record, entry.reading)
    return record


def _then(record: DayRecord, reading: Json) -> DayRecord:
    sets = tuple(Set.from_json(one) for one in reading.get("sets", ()))
    match reading.get("mode"):
        case "add":
            record = replace(record, sets=record.sets + sets, skipped=False)
        case "replace":
            record = replace(record, sets=sets)
    if reading.get("skipped"):
        record = replace(record, skipped=not record.sets)
    if reading.get("bodyweight_g") is not None:
        record = replace(record, mass_g=reading["bodyweight_g"])
    return _rated(_sore(record, reading), reading)


def _sore(record: DayRecord, reading: Json) -> DayRecord:
    """Pain of the message, an answer to "0 to 10?", or next morning's score; the worse of two places stays."""
    pain = record.pain
    if reading.get("pain") is not None:
        told = Pain.from_json(reading["pain"])
        pain = told if pain is None or _weight(told) >= _weight(pain) else pain
    if reading.get("pain_score") is not None:
        pain = replace(pain or Pain(), score=reading["pain_score"])
    if reading.get("morning") is not None:
        pain = replace(pain or Pain(), morning=reading["morning"])
    return replace(record, pain=pain)


def _weight(pain: Pain) -> int:
    return -1 if pain.score is None else pain.score


def _rated(record: DayRecord, reading: Json) -> DayRecord:
    """An answer to "how hard was it?" rates the last set."""
    if reading.get("effort") is None or not record.sets:
        return record
    last = replace(record.sets[-1], rpe=float(reading["effort"]))
    return replace(record, sets=(*record.sets[:-1], last))
