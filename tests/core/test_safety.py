"""What stops, holds or caps a session: the zones of pain, age, lay-offs, as tables."""

from datetime import date, timedelta

import pytest

from core.orders import Order, OrderKind
from core.safety import Light, is_maximal, is_young, judge
from core.training import Athlete, Pain, Screening, Session, Set

TODAY = date(2026, 10, 5)
ADULT = Athlete("a1", "Ines", born=date(1991, 5, 2), screening=Screening.CLEAR)


def trained(*pains: Pain | None, every: int = 2, rpe: float | None = None) -> tuple[Session, ...]:
    """One session every other day up to the day before yesterday, each with its pain."""
    days = [TODAY - timedelta(days=every * back) for back in range(len(pains), 0, -1)]
    return tuple(
        Session(f"s{place}", day, (Set(5, rpe=rpe),), pain=pain)
        for place, (day, pain) in enumerate(zip(days, pains, strict=True))
    )


PAIN = [
    ("no report", (None, None), Light.GO, None),
    ("2 and settled", (Pain("elbow", 2, 1),), Light.GO, None),
    ("2, morning not answered", (Pain("elbow", 2, None),), Light.HOLD, "pain_unsettled"),
    ("4 and settled", (Pain("elbow", 4, 1),), Light.HOLD, "pain_settled"),
    ("4 and settled, then a session without", (Pain("elbow", 4, 1), None), Light.GO, None),
    ("4, morning not answered", (Pain("elbow", 4, None),), Light.EASE, "pain_unsettled"),
    ("4, not answered, then a session without", (Pain("elbow", 4, None), None), Light.EASE, "pain_unsettled"),
    ("4, not answered, then 1 and settled", (Pain("elbow", 4, None), Pain("elbow", 1, 0)), Light.GO, None),
    ("4, morning 3: not settled", (Pain("elbow", 4, 3),), Light.EASE, "pain_unsettled"),
    ("4, worse in the morning", (Pain("elbow", 4, 5),), Light.STOP, "pain_worse_next_morning"),
    ("1, worse in the morning", (Pain("elbow", 1, 2),), Light.STOP, "pain_worse_next_morning"),
    ("6 and settled", (Pain("elbow", 6, 1),), Light.STOP, "pain_high"),
    ("6, then a session without", (Pain("elbow", 6, 1), None), Light.STOP, "pain_high"),
    ("6, then 1 and settled", (Pain("elbow", 6, 1), Pain("elbow", 1, 0)), Light.EASE, "pain_back"),
    ("6, then 1, not answered", (Pain("elbow", 6, 1), Pain("elbow", 1, None)), Light.STOP, "pain_high"),
    ("score unknown", (Pain("elbow"),), Light.HOLD, "pain_unscored"),
    ("score unknown and settled", (Pain("elbow", None, 1),), Light.HOLD, "pain_settled"),
    ("score unknown, bad morning", (Pain("elbow", None, 4),), Light.STOP, "pain_worse_next_morning"),
    ("0, 1, 2: rising", (Pain(None, 0, 0), Pain(None, 1, 1), Pain(None, 2, 2)), Light.GO, None),
    ("1, 2, 3: rising", (Pain(None, 1, 1), Pain(None, 2, 1), Pain(None, 3, 1)), Light.STOP, "pain_rising"),
    ("1, nothing, 2, 3", (Pain(None, 1, 1), None, Pain(None, 2, 1), Pain(None, 3, 1)), Light.HOLD, "pain_settled"),
    ("denied", (Pain("elbow", 0, None),), Light.GO, None),
    ("in the chest", (Pain("chest", 1, 0),), Light.STOP, "pain_red_flag"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "pains", "light", "code"), PAIN, ids=[case[0] for case in PAIN])
def test_zones_of_pain(name: str, pains: tuple[Pain | None, ...], light: Light, code: str | None) -> None:
    verdict = judge(ADULT, trained(*pains), (), TODAY)
    assert verdict.light is light
    assert [reason.code for reason in verdict.reasons] == ([] if code is None else [code])


def test_a_stop_tells_the_coach_and_names_a_clinician() -> None:
    verdict = judge(ADULT, trained(Pain("elbow", 8, None)), (), TODAY)
    assert verdict.tell_coach
    assert "caution.see_clinician" in [one.key for one in verdict.cautions]


def test_a_hold_takes_a_set_and_keeps_the_load() -> None:
    verdict = judge(ADULT, trained(Pain("elbow", 4, 1)), (), TODAY)
    assert (verdict.fewer_sets, verdict.load, verdict.gentle_grip, verdict.maximal) == (1, 1.0, True, False)


@pytest.mark.parametrize(
    ("pain", "by", "light"),
    [
        (Pain("elbow", 7, 1), "coach", Light.GO),
        (Pain("elbow", 7, 1), "athlete", Light.EASE),
        (Pain("elbow", 4, None), "athlete", Light.HOLD),
        (Pain("elbow", 4, None), "coach", Light.GO),
        (Pain("elbow", 2, None), "athlete", Light.GO),
    ],
)
def test_a_person_lifts_what_a_report_left_open(pain: Pain, by: str, light: Light) -> None:
    word = Order(TODAY - timedelta(days=1), by, OrderKind.SETTLED)  # type: ignore[arg-type]
    assert judge(ADULT, trained(pain), (word,), TODAY).light is light


SORE_DAY, NEXT_DAY = TODAY - timedelta(days=2), TODAY - timedelta(days=1)
STOPPED = [
    ("a word on the same day", Pain("elbow", 7, None), (SORE_DAY,), Light.STOP),
    ("a word on the same day, then a settled morning", Pain("elbow", 7, 1), (SORE_DAY,), Light.STOP),
    ("a later word without an answer in the morning", Pain("elbow", 7, None), (NEXT_DAY,), Light.STOP),
    ("a later word after a bad morning", Pain("elbow", 7, 3), (NEXT_DAY,), Light.STOP),
    ("a later word, worse in the morning", Pain("elbow", 4, 5), (NEXT_DAY,), Light.STOP),
    ("a later word after a settled morning", Pain("elbow", 6, 2), (NEXT_DAY,), Light.EASE),
    ("saying it again brings back no more", Pain("elbow", 6, 2), (NEXT_DAY, TODAY), Light.EASE),
    ("the chest is not the athlete's to judge", Pain("chest", 7, 0), (NEXT_DAY,), Light.STOP),
]


@pytest.mark.parametrize(("name", "pain", "days", "light"), STOPPED, ids=[case[0] for case in STOPPED])
def test_what_lifts_a_stop(name: str, pain: Pain, days: tuple[date, ...], light: Light) -> None:
    words = tuple(Order(day, "athlete", OrderKind.SETTLED) for day in days)
    assert judge(ADULT, trained(pain), words, TODAY).light is light
    coach = Order(days[-1], "coach", OrderKind.SETTLED)
    assert judge(ADULT, trained(pain), (*words, coach), TODAY).light is Light.GO


def test_an_older_word_does_not_lift_a_newer_pain() -> None:
    word = Order(TODAY - timedelta(days=9), "coach", OrderKind.SETTLED)
    assert judge(ADULT, trained(None, Pain("elbow", 7, 1)), (word,), TODAY).light is Light.STOP


@pytest.mark.parametrize(
    ("born", "young"),
    [
        (None, True),
        (date(2010, 10, 6), True),
        (date(2010, 10, 5), False),
        (date(1991, 5, 2), False),
        (date(2027, 1, 1), True),
        (date(1850, 1, 1), True),
    ],
)
def test_under_sixteen_or_unknown(born: date | None, young: bool) -> None:
    athlete = Athlete("a", "A", born=born, screening=Screening.CLEAR)
    verdict = judge(athlete, (), (), TODAY)
    assert is_young(athlete, TODAY) is young is verdict.young
    assert verdict.maximal is not young
    assert ("caution.adult_present" in [one.key for one in verdict.cautions]) is young


@pytest.mark.parametrize("screening", [Screening.PENDING, Screening.REFERRED])
def test_nothing_without_clearance(screening: Screening) -> None:
    athlete = Athlete("a", "A", born=date(1991, 5, 2), screening=screening)
    verdict = judge(athlete, (), (), TODAY)
    assert verdict.light is Light.STOP
    assert verdict.reasons


@pytest.mark.parametrize(
    ("off", "light", "load"),
    [(3, Light.GO, None), (14, Light.GO, None), (15, Light.HOLD, 1.0), (22, Light.EASE, 0.95), (70, Light.EASE, 0.9)],
)
def test_lay_offs(off: int, light: Light, load: float | None) -> None:
    sessions = (Session("s", TODAY - timedelta(days=off), (Set(5),)),)
    verdict = judge(ADULT, sessions, (), TODAY)
    assert (verdict.light, verdict.load) == (light, load)


def test_no_maximal_days_back_to_back() -> None:
    yesterday = trained(None, every=1, rpe=10.0)
    assert is_maximal(yesterday[0])
    assert judge(ADULT, yesterday, (), TODAY).light is Light.HOLD
    assert judge(ADULT, trained(None, every=1, rpe=8.0), (), TODAY).light is Light.GO
    assert judge(ADULT, trained(None, every=2, rpe=10.0), (), TODAY).light is Light.GO


@pytest.mark.parametrize(
    ("order", "light"),
    [
        (Order(TODAY, "coach", OrderKind.PAUSE), Light.STOP),
        (Order(TODAY, "athlete", OrderKind.AWAY, until=TODAY), Light.STOP),
        (Order(TODAY - timedelta(days=9), "athlete", OrderKind.AWAY, until=TODAY - timedelta(days=1)), Light.GO),
        (Order(TODAY + timedelta(days=1), "coach", OrderKind.PAUSE), Light.GO),
    ],
)
def test_orders_that_stop(order: Order, light: Light) -> None:
    assert judge(ADULT, (), (order,), TODAY).light is light
