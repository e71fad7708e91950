"""The coach's week on one screen: decisions first, then who moves up, who is away, the rest in one line."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from core.club import Book, Log, Role
from core.conversation import wording
from core.conversation.engine import session_on
from core.conversation.turn import line
from core.kit import kit_from_json
from core.language.places import place
from core.orders import OrderKind
from core.phrases import Mass, Phrase, phrase
from core.purchase import Hole, Need, holes
from core.safety import EASY_PAIN, Light, judge
from core.schedule import trains_on
from core.training import Screening, Session

WEEK = timedelta(days=7)
MOST_LINES = 18  # one screen of a phone


@dataclass(frozen=True, slots=True)
class Week:
    """One athlete's last seven days."""

    name: str
    planned: int
    done: int
    pain: int | None
    decision: Phrase | None
    rose: Phrase | None
    away: date | None


def week_of(log: Log, today: date) -> Week:
    """The seven days up to and including `today`."""
    recent = [one for one in log.sessions if today - WEEK < one.day <= today]
    away = [one.until for one in log.orders if one.kind is OrderKind.AWAY and one.in_force(today)]
    return Week(
        name=log.athlete.name,
        planned=sum(bool(one.prescribed) for one in recent),
        done=sum(bool(one.sets) for one in recent),
        pain=_worst(recent),
        decision=_decision(log, recent, today),
        rose=_rose(log),
        away=away[-1] if away else None,
    )


def _worst(sessions: Iterable[Session]) -> int | None:
    scores = [one.pain.score for one in sessions if one.pain is not None and one.pain.score is not None]
    return max(scores, default=None)


def _decision(log: Log, recent: list[Session], today: date) -> Phrase | None:
    """What only a person decides: screening, pain, a stop; then days missed."""
    name = log.athlete.name
    if log.athlete.screening is not Screening.CLEAR:
        return line(f"week.{log.athlete.screening.value}", name=name)
    lifted = max((o.day for o in log.orders if o.kind is OrderKind.SETTLED and o.by == "coach"), default=date.min)
    sore = [one for one in recent if one.pain is not None and one.day > lifted]
    pains = [one for one in sore if one.pain is not None and (one.pain.score or 0) > EASY_PAIN]
    if pains and pains[-1].pain is not None:
        where = pains[-1].pain.place
        named = line("place.unsaid") if where is None else place(where)
        return line("week.pain", name=name, place=named, score=pains[-1].pain.score or 0)
    verdict = judge(log.athlete, log.sessions, log.orders, today)
    if verdict.tell_coach:
        return line("week.stopped" if verdict.light is Light.STOP else "week.eased", name=name)
    missed = [one for one in recent if one.prescribed and not one.sets and not one.skipped and one.day < today]
    if len(missed) >= 2:
        return line("week.missed", name=name, n=len(missed))
    advice = session_on(log, today)
    put = advice.proposed or (advice.why[:1] if advice.tell_coach else ())
    return line("week.proposal", name=name, words=put[0]) if put else None


def _rose(log: Log) -> Phrase | None:
    """A heavier step than the session before, by the heaviest working set of the same bands."""
    done = [one for one in log.sessions if one.sets and one.sets[0].added_g is not None][-2:]
    if len(done) < 2:
        return None
    before, now = (max(one.sets, key=lambda each: each.added_g or 0) for one in done)
    if before.bands != now.bands or (now.added_g or 0) <= (before.added_g or 0):
        return None
    return line("week.rose", name=log.athlete.name, mass=Mass(now.added_g or 0), before=Mass(before.added_g or 0))


def week_lines(book: Book, today: date) -> tuple[Phrase, ...]:
    """The digest, at most one screen."""
    weeks = [week_of(book.log(one.id), today) for one in book.roster() if one.role is Role.ATHLETE]
    decisions = [one.decision for one in weeks if one.decision is not None]
    rose = [one.rose for one in weeks if one.rose is not None]
    away = [line("week.away", name=one.name, day=one.away) for one in weeks if one.away is not None]
    head = line("week.head", first=today - WEEK + timedelta(days=1), last=today)
    counted = line("week.done", n=sum(one.done for one in weeks), planned=sum(one.planned for one in weeks))
    lines = [head, counted, *decisions, *rose, *away]
    quiet = [one.name for one in weeks if one.decision is None and one.rose is None and one.away is None]
    lines = lines[: MOST_LINES - 2]
    gap = worst_gap(book, today)
    if gap is not None:
        lines.append(gap)
    if quiet:
        lines.append(line("week.rest", names=", ".join(quiet[:20])))
    return tuple(lines)


def athlete_lines(log: Log, today: date) -> tuple[Phrase, ...]:
    """One athlete's record: the last sessions, the estimate, the next session and its reasons."""
    lines = [line("show.head", name=log.athlete.name, aim=phrase(f"aim.{log.athlete.aim.value}"))]
    for one in [each for each in log.sessions if each.sets][-4:]:
        lines.append(line("show.session", day=one.day, sets=wording.sets(one.sets)))
    advice = session_on(log, today)
    shown = advice.to_json()
    estimate = shown.get("estimate")
    if estimate:
        values = {name: Mass(round(estimate[f"{name}_g"] / 500) * 500) for name in ("one_rm", "low", "high")}
        lines.append(line("show.estimate", **values))
    if advice.sets:
        lines += [line("next.head", day=advice.day), *wording.prescribed(advice.sets)]
    lines += advice.why[:2]
    return tuple(lines)


def preview_lines(book: Book, day: date) -> tuple[Phrase, ...]:
    """The sessions of `day` of those in their first four weeks, before they go out; nothing where there are none."""
    lines: list[Phrase] = []
    for member in book.roster():
        if member.role is not Role.ATHLETE:
            continue
        log = book.log(member.id)
        if not _is_new(log, day) or not trains_on(log.athlete, log.orders, day):
            continue
        advice = session_on(log, day)
        if advice.sets and advice.day == day:
            lines += [line("preview.one", name=member.name), *wording.prescribed(advice.sets)]
    return (line("preview.head", day=day), *lines, line("preview.silence")) if lines else ()


def _is_new(log: Log, day: date) -> bool:
    """Whether the first session on record is less than four weeks old, or there is none."""
    first = min((one.day for one in log.sessions if one.sets), default=day)
    return day - first < 4 * WEEK


AHEAD = 1.10  # the coming months: from the last working set up to a tenth more of system mass


def worst_gap(book: Book, today: date) -> Phrase | None:
    """The widest gap over 2.5 % between the coming steps of anybody's kit; None where there is none."""
    found = [hole for one in book.roster() if one.role is Role.ATHLETE for hole in _holes(book.log(one.id), today)]
    if not found:
        return None
    name, widest = max(found, key=lambda one: one[1].share)
    ends = {"below": Mass(widest.below_g), "above": Mass(widest.above_g)}
    return line("week.gap", name=name, percent=round(100 * widest.share, 1), **ends)


def _holes(log: Log, today: date) -> list[tuple[str, Hole]]:
    kit = next((kit for since, kit in reversed(log.kits) if since <= today), None)
    done = [one for one in log.sessions if one.sets and one.sets[0].added_g is not None]
    if kit is None or not done or not log.bodyweights:
        return []
    body_g = log.bodyweights[-1].mass_g
    low_g = body_g + max(one.added_g or 0 for one in done[-1].sets)
    if any(one.bands for one in done[-1].sets):
        return []  # with bands the steps are many and fine; their gaps are named by `plimsoll steps`
    need = Need(body_g, low_g, round(low_g * AHEAD))
    return [(log.athlete.name, hole) for hole in holes(kit_from_json(kit, "kit"), (need,))]
