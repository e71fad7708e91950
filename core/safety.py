"""What stops, holds or caps a session. Limits of judgement, not of medicine: in doubt, less and a person.

The zones of pain are a habit borrowed from tendon care (Silbernagel et al. 2007, AJSM 35:897, for Achilles
tendons): they are no proof for elbows, and nothing here is medical advice.
"""

from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from enum import IntEnum
from itertools import pairwise

from core.orders import Order, OrderKind
from core.phrases import Phrase, phrase
from core.reasons import Reason, because
from core.training import Athlete, Pain, Screening, Session

ADULT = 16  # full years; below, or unknown: supervised training, no maximal tests
EASY_PAIN = 2  # up to this and settled: go on
STOP_PAIN = 6  # from this: stop pulling
RED_FLAGS = frozenset(("chest", "heart", "breastbone", "sternum"))  # places that belong to a doctor
SHORT_BREAK = 14  # days off after which the first session is no heavier
LONG_BREAK = 21  # days off after which strength may be lost: about three weeks (sec)
VERY_LONG_BREAK = 56


class Light(IntEnum):
    """What safety says of a session: a larger one overrules a smaller one."""

    GO = 0
    HOLD = 1  # no heavier, one set fewer
    EASE = 2  # lighter, half the sets
    STOP = 3  # nothing


@dataclass(frozen=True, slots=True)
class Verdict:
    """The judgement over a session. `fewer_sets` are taken off, then `sets` is the share of them that is left."""

    light: Light = Light.GO
    reasons: tuple[Reason, ...] = ()
    cautions: tuple[Phrase, ...] = ()
    fewer_sets: int = 0
    sets: float = 1.0
    load: float | None = None  # highest share of the last system mass; None: by the cap on steps alone
    young: bool = False
    maximal: bool = True  # whether open sets to the limit, singles and tests are allowed
    tell_coach: bool = False
    gentle_grip: bool = False

    def __add__(self, other: "Verdict") -> "Verdict":
        loads = [one for one in (self.load, other.load) if one is not None]
        return Verdict(
            light=max(self.light, other.light),
            reasons=self.reasons + other.reasons,
            cautions=self.cautions + other.cautions,
            fewer_sets=max(self.fewer_sets, other.fewer_sets),
            sets=min(self.sets, other.sets),
            load=min(loads) if loads else None,
            young=self.young or other.young,
            maximal=self.maximal and other.maximal,
            tell_coach=self.tell_coach or other.tell_coach,
            gentle_grip=self.gentle_grip or other.gentle_grip,
        )


@dataclass(frozen=True, slots=True)
class _Sore:
    """The state of a sore place while the sessions are gone through."""

    light: Light = Light.GO
    reason: Reason | None = None
    scores: tuple[int, ...] = field(default=())
    since: date | None = None  # of the last report
    morning: int | None = None  # and its answer of the next morning


def judge(athlete: Athlete, sessions: tuple[Session, ...], orders: tuple[Order, ...], day: date) -> Verdict:
    """Everything safety says about a session on `day`; `sessions` oldest first, none after `day`."""
    parts = (
        _screening(athlete),
        _orders(orders, day),
        _youth(athlete, day),
        _pain(sessions, orders, day),
        _lay_off(sessions, day),
        _maximal_yesterday(sessions, day),
    )
    total = Verdict()
    for part in parts:
        total += part
    return total


def is_young(athlete: Athlete, day: date) -> bool:
    """Under 16 or of unknown age (a date of birth that cannot be is unknown)."""
    age = athlete.age(day)
    return age is None or not ADULT <= age <= 120


def _screening(athlete: Athlete) -> Verdict:
    match athlete.screening:
        case Screening.CLEAR:
            return Verdict()
        case Screening.PENDING:
            return Verdict(Light.STOP, (because("screening_pending", 0),))
        case Screening.REFERRED:
            return Verdict(Light.STOP, (because("screening_referred", 0),), (phrase("caution.clinician_first"),))


def _orders(orders: tuple[Order, ...], day: date) -> Verdict:
    total = Verdict()
    for order in orders:
        if not order.in_force(day):
            continue
        who = phrase(f"by.{order.by}")
        if order.kind is OrderKind.PAUSE:
            reason = because("order_alarm", 0) if order.by == "engine" else because("order_pause", 0, by=who)
            total += Verdict(Light.STOP, (reason,))
        if order.kind is OrderKind.AWAY:
            until = {} if order.until is None else {"until": order.until}
            total += Verdict(Light.STOP, (because("away_until" if until else "away", 0, **until),))
    return total


def _youth(athlete: Athlete, day: date) -> Verdict:
    if not is_young(athlete, day):
        return Verdict()
    age = athlete.age(day)
    known = age is not None and 0 <= age <= 120
    reason = because("youth", 3, age=age if age is not None else 0) if known else because("age_unknown", 3)
    return Verdict(reasons=(reason,), cautions=(phrase("caution.adult_present"),), young=True, maximal=False)


def _pain(sessions: tuple[Session, ...], orders: tuple[Order, ...], day: date) -> Verdict:
    """The sore place's state after every session; only a settled answer or a person lifts a hold."""
    sore = _Sore()
    settlings = [one for one in orders if one.kind is OrderKind.SETTLED and one.day <= day]
    for session, following in _with_next(sessions, day):
        sore = _after(sore, session, day)
        for order in settlings:
            if session.day <= order.day < following:
                sore = _settled(sore, order)
    return _verdict(sore)


def _with_next(sessions: tuple[Session, ...], day: date) -> list[tuple[Session, date]]:
    """Each session with the day of the next, so that an order falls between two."""
    ends = [one.day for one in sessions[1:]] + [day + timedelta(days=1)] * bool(sessions)
    return list(zip(sessions, ends, strict=True))


def _after(sore: _Sore, session: Session, day: date) -> _Sore:
    pain = session.pain
    if pain is None or (pain.score == 0 and pain.morning in (None, 0)):
        # A session without a report settles nothing that was left open, and lifts what was answered.
        return replace(sore, scores=()) if _open(sore) else _Sore()
    scores = (*sore.scores, pain.score)[-3:] if pain.score is not None else ()
    light, reason = _zone(pain, _rising(scores), session.day == day)
    if sore.light is Light.STOP and light < Light.STOP:
        back = pain.morning is not None and pain.morning <= EASY_PAIN
        light, reason = (Light.EASE, because("pain_back", 1)) if back else (sore.light, sore.reason)
    return _Sore(light, reason, tuple(one for one in scores if one is not None), session.day, pain.morning)


def _open(sore: _Sore) -> bool:
    return sore.reason is not None and sore.reason.code not in ("pain_settled", "pain_back")


def _zone(pain: Pain, rising: bool, today: bool) -> tuple[Light, Reason | None]:
    score, morning = pain.score, pain.morning
    if pain.place in RED_FLAGS:
        return Light.STOP, because("pain_red_flag", 0)
    if score is not None and score >= STOP_PAIN:
        return Light.STOP, because("pain_high", 0, score=score)
    if morning is not None and (morning >= STOP_PAIN or morning > (EASY_PAIN if score is None else score)):
        return Light.STOP, because("pain_worse_next_morning", 0, morning=morning)
    if rising:
        return Light.STOP, because("pain_rising", 0)
    settled = morning is not None and morning <= EASY_PAIN
    if score is None:
        return (Light.HOLD, because("pain_settled", 1)) if settled else (Light.HOLD, because("pain_unscored", 1))
    if not settled:
        code = "pain_today" if today else "pain_unsettled"
        return (Light.HOLD if score <= EASY_PAIN else Light.EASE), because(code, 1, score=score)
    if score <= EASY_PAIN:
        return Light.GO, None
    return Light.HOLD, because("pain_settled", 1, score=score)


def _rising(scores: tuple[int | None, ...]) -> bool:
    known = [one for one in scores if one is not None]
    return len(known) == 3 and all(low < high for low, high in pairwise(known))


def _settled(sore: _Sore, order: Order) -> _Sore:
    """A person's word: the coach lifts; the athlete's is a settled answer.

    A stop is lifted by the athlete's word on a later day alone, after a morning that was settled: then a careful
    return.
    """
    if order.by == "coach" or sore.light < Light.EASE:
        return _Sore()
    if sore.reason is not None and sore.reason.code in ("pain_back", "pain_red_flag"):
        return sore  # no second word brings back more, and the chest is for somebody else to judge
    if sore.light is not Light.STOP:
        return _Sore(Light.HOLD, because("pain_settled", 1))
    later = sore.since is not None and order.day > sore.since
    back = later and sore.morning is not None and sore.morning <= EASY_PAIN
    return _Sore(Light.EASE, because("pain_back", 1)) if back else sore


def _verdict(sore: _Sore) -> Verdict:
    if sore.light is Light.GO or sore.reason is None:
        return Verdict()
    reasons = (sore.reason,)
    if sore.light is Light.STOP:
        return Verdict(Light.STOP, reasons, (phrase("caution.see_clinician"),), tell_coach=True)
    cautions = (phrase("caution.gentle_grip"), phrase("caution.stop_if_pain"))
    eased = sore.light is Light.EASE
    half = eased and sore.reason.code != "pain_unsettled"  # that one holds the load with one set fewer
    return Verdict(
        sore.light, reasons, cautions, fewer_sets=0 if half else 1, sets=0.5 if half else 1.0,
        load=0.9 if half else 1.0, maximal=False, tell_coach=eased, gentle_grip=True,
    )  # fmt: skip


def _lay_off(sessions: tuple[Session, ...], day: date) -> Verdict:
    trained = [one.day for one in sessions if one.sets and one.day < day]
    if not trained:
        return Verdict()
    off = (day - trained[-1]).days
    if off > VERY_LONG_BREAK:
        return Verdict(Light.EASE, (because("lay_off", 1, n=off),), sets=0.5, load=0.9, maximal=False)
    if off > LONG_BREAK:
        return Verdict(Light.EASE, (because("lay_off", 1, n=off),), sets=0.5, load=0.95, maximal=False)
    if off > SHORT_BREAK:
        return Verdict(Light.HOLD, (because("break", 1, n=off),), fewer_sets=1, load=1.0, maximal=False)
    return Verdict()


def _maximal_yesterday(sessions: tuple[Session, ...], day: date) -> Verdict:
    yesterday = [one for one in sessions if one.day == day - timedelta(days=1)]
    if not any(is_maximal(one) for one in yesterday):
        return Verdict()
    return Verdict(Light.HOLD, (because("maximal_yesterday", 1),), fewer_sets=1, load=0.95, maximal=False)


def is_maximal(session: Session) -> bool:
    """Whether somebody went to the limit: a failed repetition, or a rating of 9.5 and more."""
    return any(one.failed or (one.rpe is not None and one.rpe >= 9.5) for one in session.sets)
