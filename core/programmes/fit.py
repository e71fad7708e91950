"""The step and the repetitions: the heaviest load whose session is completed nine times in ten."""

from dataclasses import dataclass, replace

from core.programmes.caps import Ceiling, ceiling, open_allowed, rest_allowed, sets_allowed
from core.programmes.history import Worked, worked
from core.programmes.situation import Plan, Rung, Situation
from core.reasons import Reason, because
from core.training import PrescribedSet

LIKELY = 0.90  # of completing every set of the session
SURE = 0.97  # of completing it at a step over the usual one, or by somebody young
UNDERSTATED = 1  # repetitions by which an open set is stopped too early (Halperin et al. 2022: .95)
YOUNG_LOW = 5  # repetitions at least
YOUNG_SHARE = 0.82  # of the 1RM at most
MANY = 60  # rungs looked at: those nearest below the ceiling


@dataclass(frozen=True, slots=True)
class Wish:
    """What an aim asks for: repetitions from `low` to `high`, effort at most, load as a share of the 1RM."""

    sets: int
    low: int
    high: int
    rest_s: int
    rpe: float = 9.0
    share: tuple[float, float] = (0.0, 1.0)
    open_last: bool = True
    open_rpe: float = 8.0


@dataclass(frozen=True, slots=True)
class Choice:
    """A rung with the repetitions that it allows today, and the chance of completing them."""

    rung: Rung
    reps: int
    chance: float


def fit(situation: Situation, wish: Wish) -> Plan:
    """The working sets for a wish, under every cap, each decision with its reason."""
    count, reasons = sets_allowed(situation, wish.sets)
    if count == 0:
        return Plan((), reasons)
    limit = ceiling(situation)
    wish = replace(wish, sets=count, rest_s=rest_allowed(situation, wish.rest_s))
    if situation.verdict.young:
        wish = _for_the_young(wish)
    chosen = choose(situation, wish, limit)
    sets = _sets(situation, wish, chosen)
    return Plan(sets, reasons + limit.reasons + _why(situation, chosen))


def _for_the_young(wish: Wish) -> Wish:
    """More repetitions at lighter loads, well away from the limit."""
    low = max(wish.low, YOUNG_LOW) if wish.share[1] > YOUNG_SHARE else wish.low
    share = (wish.share[0], min(wish.share[1], YOUNG_SHARE))
    return replace(wish, low=low, high=max(wish.high, low + 4), share=share, rpe=min(wish.rpe, 8.0), open_last=False)


def choose(situation: Situation, wish: Wish, limit: Ceiling) -> Choice:
    """The heaviest rung with at least the wished repetitions; else as near to that as the kit allows."""
    rungs = _within(situation, wish, limit)
    choices = [_best_reps(situation, wish, rung, limit) for rung in rungs]
    able = [one for one in choices if one.chance >= LIKELY and one.reps >= wish.low]
    if able:
        return max(able, key=lambda one: (one.rung.system_g, one.reps))
    fewer = [one for one in choices if one.chance >= LIKELY]
    if fewer:
        return max(fewer, key=lambda one: (one.reps, one.rung.system_g))
    return max(choices, key=lambda one: (one.chance, -one.rung.system_g))


def _within(situation: Situation, wish: Wish, limit: Ceiling) -> list[Rung]:
    """The rungs under the caps, the heaviest last; at least the lightest of the kit."""
    one_rm = situation.one_rm_g
    rungs = [one for one in situation.rungs if _allowed(one, limit)]
    in_share = [one for one in rungs if one.system_g <= wish.share[1] * one_rm]
    rungs = in_share or rungs[:1] or list(situation.rungs[:1])
    return _familiar(situation, rungs)[-MANY:]


def _allowed(rung: Rung, limit: Ceiling) -> bool:
    if limit.added_g is not None and rung.added_g > limit.added_g:
        return False
    return limit.sure_g is None or rung.system_g <= limit.sure_g


def _familiar(situation: Situation, rungs: list[Rung]) -> list[Rung]:
    """Without the rungs that are no better than one without bands: bands help only below one's own weight."""
    plain = [one for one in rungs if not one.bands]
    if not plain:
        return rungs
    lightest = plain[0].system_g
    return [one for one in rungs if not one.bands or one.system_g < lightest]


def _best_reps(situation: Situation, wish: Wish, rung: Rung, limit: Ceiling) -> Choice:
    """The most repetitions from one to the wished highest that are likely enough on this rung."""
    beyond = limit.usual_g is not None and rung.system_g > limit.usual_g
    needed = SURE if beyond else needed_chance(situation)
    best = Choice(rung, 1, 0.0)
    low, high = 1, _most_reps(situation, wish, rung)
    while low <= high:
        reps = (low + high) // 2
        chance = situation.belief.chance(_plain_sets(situation, wish, rung, reps))
        if chance >= needed:
            best, low = Choice(rung, reps, chance), reps + 1
        else:
            high = reps - 1
            best = best if best.chance >= needed or reps > 1 else Choice(rung, 1, min(chance, LIKELY - 1e-9))
    return best


def needed_chance(situation: Situation) -> float:
    """Of completing the session: surer for the young."""
    return SURE if situation.verdict.young else LIKELY


def _most_reps(situation: Situation, wish: Wish, rung: Rung) -> int:
    """The wished highest; after missed repetitions no more than asked last time at this load."""
    past = worked(situation)
    if not past or not past[-1].missed:
        return wish.high
    last = past[-1]
    return min(wish.high, asked(last)) if rung.system_g >= last.top_g else wish.high


def asked(last: Worked) -> int:
    """The repetitions of the last session's heaviest set as prescribed, else as done."""
    wished = [
        one.reps
        for one in last.session.prescribed
        if one.exercise is last.top.exercise and one.added_g == last.top.added_g and not one.amrap
    ]
    return max(wished, default=max(last.top.reps, 1))


def _plain_sets(situation: Situation, wish: Wish, rung: Rung, reps: int) -> tuple[PrescribedSet, ...]:
    one = PrescribedSet(reps, rung.added_g, rung.bands, wish.rest_s, None, False, situation.exercise)
    return (one,) * wish.sets


def _sets(situation: Situation, wish: Wish, chosen: Choice) -> tuple[PrescribedSet, ...]:
    """The sets with the effort to expect, the last one open where that is allowed."""
    plain = _topped(situation, wish, chosen)
    expected = situation.belief.expected_reps(plain)
    sets = [
        replace(one, rpe=effort(one.reps, middle, wish.rpe))
        for one, (middle, _, _) in zip(plain, expected, strict=True)
    ]
    last = expected[-1][0]
    if wish.open_last and open_allowed(situation) and last > chosen.reps:
        least = max(1, min(chosen.reps, last - round(10 - wish.open_rpe) - UNDERSTATED))
        sets[-1] = replace(sets[-1], reps=least, amrap=True, rpe=wish.open_rpe)
    return tuple(sets)


def _topped(situation: Situation, wish: Wish, chosen: Choice) -> tuple[PrescribedSet, ...]:
    """One repetition more in the first sets, while they are fresh, as long as the session stays likely."""
    sets = _plain_sets(situation, wish, chosen.rung, chosen.reps)
    if chosen.chance < LIKELY or chosen.reps >= _most_reps(situation, wish, chosen.rung):
        return sets
    needed = needed_chance(situation)
    for count in range(1, len(sets)):
        more = tuple(replace(one, reps=chosen.reps + (place < count)) for place, one in enumerate(sets))
        if situation.belief.chance(more) < needed:
            return tuple(replace(one, reps=chosen.reps + (place < count - 1)) for place, one in enumerate(sets))
    return tuple(replace(one, reps=chosen.reps + (place < len(sets) - 1)) for place, one in enumerate(sets))


def effort(reps: int, possible: int, most: float) -> float:
    """The rating to aim at: 10 less the repetitions in reserve, from 5 to `most`."""
    return min(max(10.0 - max(possible - reps, 0), 5.0), most)


def _why(situation: Situation, chosen: Choice) -> tuple[Reason, ...]:
    past = worked(situation)
    percent = round(100 * chosen.chance)
    if not past:
        return (because("first_session", 3),)
    last = past[-1]
    if chosen.rung.system_g > last.top_g * 1.002:
        return (because("step_up", 2, percent=percent),)
    if chosen.rung.system_g < last.top_g * 0.998:
        return (because("step_down", 2, percent=percent),)
    before = asked(last)
    if chosen.reps > before:
        return (because("reps_up", 2, reps=chosen.reps, before=before),)
    return (because("same_again", 3, percent=percent),)
