"""Days: which day is reported, where a session moves, from when till when somebody is away, and skipping."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from core.replies.reading import Context
from core.replies.terms import Term

WEEK = 7
_SPAN = 400
_SOME_MONDAY = date(2000, 1, 3)


@dataclass(frozen=True, slots=True)
class Days:
    """What a message says about days."""

    day: date | None = None
    move_to: date | None = None
    away: tuple[date, date] | None = None
    skipped: bool = False
    gone: bool = False  # away, even where no day is known to count from


def days(terms: Sequence[Term], context: Context) -> Days:
    """Away before moved before skipped; reporting for another day goes with sets."""
    asks = any(term.mark and term.text == "?" for term in terms)
    today = context.today
    away = _away(terms, today if today is not None else _SOME_MONDAY)
    if away is not None:
        return Days(away=away if today is not None else None, gone=True)
    moved = _moved(terms, today, asks)
    if moved is not None:
        return Days(move_to=moved if today is not None else None, skipped=True)
    skipped = _skips(terms) and not asks
    return Days(day=_reported(terms, today), skipped=skipped)


def _skips(terms: Sequence[Term]) -> bool:
    if any(term.has("skip_not") for term in terms):
        return False
    for clause in _clauses(terms):
        if any(term.has("skip") for term in clause) and not _of_another_day(clause):
            return not any(term.has("other_person", "conditional") for term in clause)
    if _alone(terms):
        return True
    cannot = any(term.has("cannot") for term in terms)
    return (
        cannot and any(term.has("today") for term in terms) and not any(term.has("number_left_out") for term in terms)
    )


def _of_another_day(clause: Sequence[Term]) -> bool:
    """`didn't train yesterday` says nothing of today."""
    dated = any(term.has("yesterday", "day_before", "past") for term in clause)
    return dated and not any(term.has("today") for term in clause)


def _alone(terms: Sequence[Term]) -> bool:
    """`tired today, skip`: the word by itself between marks, beside no number but a score of pain."""
    clauses = _clauses(terms)
    said = any(
        sum(term.has("skip_alone") for term in clause) == 1
        and all(term.has("skip_alone", "today", "the", "filler") or term.mark for term in clause)
        for clause in clauses
    )
    sore = [any(term.has("place", "hurt", "soft_hurt") for term in clause) for clause in clauses]
    counted = [any(term.number is not None for term in clause) for clause in clauses]
    return said and not any(number and not hurts for number, hurts in zip(counted, sore, strict=True))


def _clauses(terms: Sequence[Term]) -> list[list[Term]]:
    """The terms between marks."""
    found: list[list[Term]] = [[]]
    for term in terms:
        if term.mark and term.text in ".,;!?\n":
            found.append([])
        found[-1].append(term)
    return found


def _moved(terms: Sequence[Term], today: date | None, asks: bool) -> date | None:
    """The day a session moves to: `tomorrow instead`, or a day by itself behind a refusal."""
    base = today if today is not None else _SOME_MONDAY
    if not asks and _skips(terms):
        for clause in _clauses(terms):
            bare = [term for term in clause if not term.mark and not term.has("then", "on_day", "on", "the")]
            if len(bare) == 1 and bare[0].has("tomorrow", "weekday") and not bare[0].has("number"):
                return _day_named(bare, base)
    if not any(term.has("instead", "move", "skip", "cannot") for term in terms):
        return None
    surely = any(term.has("instead", "move") for term in terms)
    if (asks and not surely) or not surely:
        return None
    if not any(term.has("skip", "cannot", "today", "move") for term in terms):
        return None
    return _day_named(terms, base)


def _day_named(terms: Sequence[Term], base: date) -> date | None:
    for term in terms:
        if term.has("tomorrow"):
            return base + timedelta(days=1)
    for term in terms:
        if term.has("weekday"):
            return _next(base, int(term.meanings["weekday"]))
    return None


def _next(today: date, weekday: int) -> date:
    return today + timedelta(days=(weekday - today.weekday() - 1) % WEEK + 1)


def _reported(terms: Sequence[Term], today: date | None) -> date | None:
    if today is None:
        return None
    for at, term in enumerate(terms):
        if term.has("day_before") and _reports(terms, at):
            return today - timedelta(days=2)
        if term.has("yesterday") and _reports(terms, at):
            return today - timedelta(days=1)
        named = term.has("weekday") and at and terms[at - 1].has("on_day") and _reports(terms, at)
        if named:
            return today - timedelta(days=(today.weekday() - int(term.meanings["weekday"]) - 1) % WEEK + 1)
    return None


def _reports(terms: Sequence[Term], at: int) -> bool:
    """Whether the day stands in the clause of the numbers: `slept badly yesterday. 5 5 4` does not."""
    counted = 0
    for term in terms[at + 1 :]:
        if term.number is not None:
            counted += 1
            break
        if (term.mark and term.text in ".!?;\n") or term.has("today"):
            return False
        if term.mark and term.text == ",":
            break
    before = _joined_before(terms, at)
    return (counted > 0 and not before[1]) or before[0] or _says_did(terms, at)


def _joined_before(terms: Sequence[Term], at: int) -> tuple[bool, bool]:
    """(a number stands before it in its clause, a word that takes the day for itself stands before it)."""
    numbers, words = False, False
    for term in reversed(terms[:at]):
        if term.mark and term.text in ".!?;\n,":
            break
        numbers = numbers or term.number is not None
        words = words or term.has("soreness", "hurt", "soft_hurt", "sleep", "motion")
    return numbers and not words, words


def _says_did(terms: Sequence[Term], at: int) -> bool:
    """`did this yesterday, 3x5`."""
    before = terms[max(0, at - 3) : at]
    return any(term.has("reset") for term in before) and any(term.number is not None for term in terms[at + 1 :])


def _away(terms: Sequence[Term], today: date) -> tuple[date, date] | None:
    if not any(term.has("away") for term in terms) or any(term.has("other_person") for term in terms):
        return None
    found = _dates(terms, today)
    until = any(term.has("till", "to") or (term.mark and term.text == "-") for term in terms)
    if len(found) >= 2 and (until or _dated(terms)):
        first, last = found[0], found[1]
        return (first, last) if first <= last and (last - first).days <= _SPAN else None
    if len(found) == 1 and until and found[0] >= today:
        return today, found[0]
    return None


def _dated(terms: Sequence[Term]) -> bool:
    """Whether two numbers are dates, with no word between that joins them: a day's name, a month, `10.10.` twice."""
    numbers = [term for term in terms if term.number is not None]
    pointed = len(numbers) == 2 and all(term.decimal for term in numbers)
    return pointed or any(term.has("month", "weekday", "tomorrow", "today") for term in terms)


def _dates(terms: Sequence[Term], today: date) -> list[date]:
    """The days a message names, in order; a day without a month takes that of the one behind it."""
    named: list[tuple[int, int | None, int | None]] = []
    found: list[date] = []
    at = 0
    while at < len(terms):
        taken, day = _date_at(terms, at, today)
        if isinstance(day, date):
            found.append(day)
        elif day is not None:
            named.append((day[0], day[1], None))
            found.append(date.min)
        at += taken
    return _filled(found, named, today)


def _filled(found: list[date], named: list[tuple[int, int | None, int | None]], today: date) -> list[date]:
    pending = list(named)
    out: list[date] = []
    for day in found:
        if day is not date.min:
            out.append(day)
            continue
        number, month, _ = pending.pop(0)
        following = next((one[1] for one in pending if one[1] is not None), None)
        made = _on(number, month if month is not None else following, out[-1] if out else today)
        if made is not None:
            out.append(made)
    return out


def _on(number: int, month: int | None, after: date) -> date | None:
    """The first such day from `after` on."""
    for step in range(_SPAN):
        day = after + timedelta(days=step)
        if day.day == number and (month is None or day.month == month):
            return day
    return None


Partial = tuple[int, int | None]


def _date_at(terms: Sequence[Term], at: int, today: date) -> tuple[int, date | Partial | None]:
    term = terms[at]
    if term.has("tomorrow"):
        return 1, today + timedelta(days=1)
    if term.has("month") and at + 1 < len(terms) and _day_number(terms[at + 1]):
        return 2, (_day_number(terms[at + 1]), int(term.meanings["month"]) + 1)
    if term.has("weekday") and not term.has("number"):
        return 1, _next(today, int(term.meanings["weekday"]))
    if term.has("today"):
        return 1, today
    return _numbered(terms, at)


def _day_number(term: Term) -> int:
    number = term.meanings.get("ordinal", term.number)
    return int(number) if number is not None and 1 <= number <= 31 and not term.decimal else 0


def _numbered(terms: Sequence[Term], at: int) -> tuple[int, date | Partial | None]:
    term = terms[at]

    def after(ahead: int) -> Term | None:
        return terms[at + ahead] if at + ahead < len(terms) else None

    iso = _iso(terms, at)
    if iso is not None:
        return 5, iso
    if term.decimal and term.figures:
        day, month = (int(part) for part in str(term.number).split("."))
        return 1, (day, month) if 1 <= day <= 31 and 1 <= month <= 12 else None
    number = _day_number(term)
    second, third = after(1), after(2)
    if not number:
        return 1, None
    if second is not None and third is not None and second.text == "/" and third.number is not None:
        return 3, (number, int(third.number)) if 1 <= third.number <= 12 else None
    ahead = 1
    while (small := after(ahead)) is not None and ahead < 3 and (small.text == "." or small.has("of")):
        ahead += 1
    if small is not None and small.has("month"):
        return ahead + 1, (number, int(small.meanings["month"]) + 1)
    return 1, (number, None)


def _iso(terms: Sequence[Term], at: int) -> date | None:
    parts = terms[at : at + 5]
    if (
        len(parts) < 5
        or parts[1].text != "-"
        or parts[3].text != "-"
        or parts[0].number is None
        or parts[0].number < 1900
    ):
        return None
    try:
        return date.fromisoformat("".join(part.text for part in parts))
    except ValueError:
        return None
