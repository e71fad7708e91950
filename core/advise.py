"""The next session of one athlete: a pure function of the file, the same as the service gives.

`prescribe` works on a checkpoint and the recent sessions, so that ten years of history cost as little as one
month; `advise` folds a whole file from nothing and asks the same.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from core.advice import Advice, cautions_for, hang_of, named, used_in
from core.files import AthleteFile, DatedKit, kit_on
from core.kit import Kit
from core.orders import Order, OrderKind
from core.phrases import Mass, phrase
from core.programmes import RULES, Rule
from core.programmes.ordered import as_ordered, own_plan
from core.programmes.overrule import closed_where_needed, spared, within_minutes
from core.programmes.plateau import proposals
from core.programmes.rhythm import eased, test_day, test_session
from core.programmes.setting import aim_order, main_exercise, oldest_first, profile_of, rungs_of, without_faults
from core.programmes.situation import Plan, Situation
from core.programmes.today import rest_of_today
from core.programmes.warm_up import warm_up
from core.reasons import Reason, because, consistent
from core.safety import Light, Verdict, judge
from core.training import Aim, Athlete, BodyMass, PrescribedSet, Session, Weekday

if TYPE_CHECKING:
    from core.strength import Belief, Checkpoint, Fault

WINDOW = timedelta(days=70)  # of sessions that a prescription looks back on
Sets = tuple[PrescribedSet, ...]


@dataclass(frozen=True)
class Case:
    """What a prescription needs to know.

    `checkpoint`: the estimate after every session before `today`, None before the first. `recent`: the
    sessions of the last ten weeks, today's included, oldest first, without those that `faults` leaves out.
    `older` and `used` say what lies before the ten weeks: how long ago, and what is not new any more.
    """

    athlete: Athlete
    today: date
    checkpoint: "Checkpoint | None" = None
    recent: tuple[Session, ...] = ()
    kits: tuple[DatedKit, ...] = ()
    bodyweights: tuple[BodyMass, ...] = ()
    orders: tuple[Order, ...] = ()
    faults: "tuple[Fault, ...]" = ()
    older: Session | None = None  # the last with sets before these
    used: frozenset[str] = frozenset()  # of "belt" and "band", whatever sets before these had


def advise(file: AthleteFile, rules: Mapping[Aim, Rule] = RULES) -> Advice:
    """The next session on or after `file.today`."""
    from core.strength import estimate, faults

    profile = profile_of(file.athlete, file.kits, file.bodyweights, file.today)
    told = oldest_first(file.sessions)
    found = faults(told, replace(profile, masses=file.bodyweights), file.today)
    sessions = without_faults(told, found)
    before = [one for one in sessions if one.day < file.today]
    checkpoint = estimate(None, before, profile, main_exercise(file.athlete), file.today)
    recent = tuple(one for one in sessions if one.day >= file.today - WINDOW)
    earlier = [one for one in sessions if one.day < file.today - WINDOW and one.sets]
    older, used = (earlier[-1] if earlier else None), used_in(earlier)
    case = Case(
        file.athlete, file.today, checkpoint, recent, file.kits, file.bodyweights, file.orders, found, older, used
    )
    return prescribe(case, rules)


def prescribe(case: Case, rules: Mapping[Aim, Rule] = RULES) -> Advice:
    """The session of the next training day; the rest of today's where it is half done."""
    todays = tuple(one for one in case.recent if one.day == case.today)
    wished = _is_training_day(case, case.today)
    begun = any(one.sets for one in todays)
    if any(one.skipped for one in todays) or not (wished or begun):
        return _on(case, rules, _next_training_day(case))
    if not begun:
        return _on(case, rules, case.today)
    rest = _on(case, rules, case.today, todays)
    return rest if rest.sets or rest.stopped else _on(case, rules, _next_training_day(case))


def _is_training_day(case: Case, day: date) -> bool:
    """One of the athlete's days (without any: every day), or one that a session was moved to."""
    wished = case.athlete.training_days
    moved = any(one.kind is OrderKind.EXTRA and one.day == day for one in case.orders)
    return moved or not wished or Weekday.of(day) in wished


def _next_training_day(case: Case) -> date:
    ahead = [case.today + timedelta(days=days) for days in range(1, 8)]
    return next((day for day in ahead if _is_training_day(case, day)), ahead[0])


def _on(case: Case, rules: Mapping[Aim, Rule], day: date, begun: tuple[Session, ...] = ()) -> Advice:
    """The session of `day`; with `begun`, what is left of these."""
    scene = _scene(case, day)
    if scene.verdict.light is Light.STOP:
        return _advice(case, scene, Plan(), (), stopped=True)
    plan = _plan(case, rules, scene)
    warm = warm_up(scene, plan)
    if begun:
        plan, warm = rest_of_today(scene, plan, begun), ()
    plan, warm = within_minutes(scene, plan, warm)
    return _advice(case, scene, plan, warm)


def _scene(case: Case, day: date) -> Situation:
    """The situation on the morning of `day`, today's sessions in the estimate where `day` is later."""
    from core.strength import belief, estimate

    profile = profile_of(case.athlete, case.kits, case.bodyweights, case.today)
    exercise = main_exercise(case.athlete)
    checkpoint = case.checkpoint
    if day > case.today or checkpoint is None:
        todays = [one for one in case.recent if one.day == case.today < day]
        checkpoint = estimate(checkpoint, todays, profile, exercise)
    known = belief(checkpoint, day, profile)
    kit = kit_on(case.kits, day) or Kit()
    rungs = rungs_of(kit, known.mass_g, known)
    heard = tuple(one for one in case.recent if one.day <= day)
    return Situation(
        athlete=case.athlete,
        day=day,
        mass_g=known.mass_g,
        rungs=rungs,
        belief=known,
        sessions=tuple(one for one in heard if one.day < day),
        orders=tuple(one for one in case.orders if one.in_force(day)),
        verdict=judge(case.athlete, _since(case.older, heard), case.orders, day) + _anchored(kit, known.mass_g),
        exercise=exercise,
        kit=kit,
        pulls=tuple({one.bands: known.mass_g + one.added_g - one.system_g for one in rungs}.items()),
    )


def _since(older: Session | None, heard: tuple[Session, ...]) -> tuple[Session, ...]:
    """What safety hears of: after more than ten weeks off the last session before them too, with its pain."""
    return heard if older is None or any(one.sets for one in heard) else (older, *heard)


def _anchored(kit: Kit, mass_g: int) -> Verdict:
    """Nobody hangs from what does not carry the body."""
    if kit.anchor is None or kit.anchor.max_load_g >= mass_g:
        return Verdict()
    return Verdict(Light.STOP, (because("anchor_weak", 0, limit=Mass(kit.anchor.max_load_g)),))


def _plan(case: Case, rules: Mapping[Aim, Rule], scene: Situation) -> Plan:
    """The aim's rule, then the weeks around it, then what the coach says."""
    test = test_day(case.orders, scene.day)
    if test == scene.day and scene.verdict.maximal:
        return test_session(scene)
    order = aim_order(scene.orders)
    aim = scene.athlete.aim if order is None or order.aim is None else order.aim
    plan = eased(scene, rules[aim](scene), test)
    if order is not None:
        plan = plan.because(because("order_aim", 3, by=phrase(f"by.{order.by}"), aim=phrase(f"aim.{aim}")))
    own = own_plan(scene.orders)
    if own is not None:
        plan = as_ordered(scene, plan, own)
    notes = [one for one in scene.orders if one.kind is OrderKind.NOTE and one.text]
    plan = plan.because(*(because("order_note", 1, by=phrase(f"by.{one.by}"), text=one.text) for one in notes[-1:]))
    return closed_where_needed(scene, spared(scene, plan))


def _advice(case: Case, scene: Situation, plan: Plan, warm: Sets, stopped: bool = False) -> Advice:
    known = scene.belief
    put = () if stopped else proposals(scene, case.bodyweights)
    reasons = consistent((*scene.verdict.reasons, *plan.reasons, *_assumed(known), *named(case.faults), *put))
    return Advice(
        athlete=case.athlete,
        day=scene.day,
        warm_up=warm,
        sets=plan.sets,
        hang=hang_of(kit_on(case.kits, scene.day), warm + plan.sets),
        estimate=known.one_rm(),
        expected=_expected(known, plan.sets),
        reasons=reasons or (because("no_session", 0),),
        cautions=(*scene.verdict.cautions, *plan.cautions, *cautions_for(scene, plan, case.faults, case.used)),
        proposals=put,
        tell_coach=scene.verdict.tell_coach or plan.tell_coach or bool(put),
        stopped=stopped,
    )


def _assumed(known: "Belief") -> tuple[Reason, ...]:
    return (because("mass_assumed", 2, mass=Mass(known.mass_g)),) if known.mass_assumed else ()


def _expected(known: "Belief", sets: Sets) -> tuple[tuple[int, int, int] | None, ...]:
    """Nothing for hangs, rows and slow lowerings, which have no estimate."""
    from core.strength.sets import family

    kin = family(known.exercise)
    counted = iter(known.expected_reps(tuple(one for one in sets if one.exercise in kin)))
    return tuple(next(counted) if one.exercise in kin else None for one in sets)
