"""The step and the repetitions: what trains most while the session is completed about nine times in ten."""

import math
from dataclasses import dataclass, replace

from core.programmes.caps import LARGEST_STEP, Ceiling, ceiling, open_allowed, rest_allowed, sets_allowed
from core.programmes.history import Worked, worked
from core.programmes.ladder import Ladder, announced, ladder
from core.programmes.shown import shown
from core.programmes.situation import Plan, Rung, Situation
from core.reasons import Reason, because
from core.safety import Light
from core.training import PrescribedSet

LIKELY = 0.82  # of completing every set of the session
EACH = 0.93  # of completing each set
SURE = 0.96  # of each set at a step over the usual one, or by somebody young
FIRST = 0.9  # of each set in a first session, where too light tells nothing
CLIMB = ((0.95, 3), (0.85, 2), (0.6, 1))  # chance and repetitions of the sets of a first session
CRUMB = 0.0125  # of system mass: less than this on the belt is not worth hooking it up to train lighter than last time
STAY = 1.03  # worth of the same load as last time
LATER = 0.8  # worth of a set against the one before it
LOOKED_AT = 20  # rungs compared
UNDERSTATED = 1  # repetitions by which an open set is stopped too early (Halperin et al. 2022: .95)
YOUNG_LOW = 5  # repetitions at least
YOUNG_SHARE = 0.82  # of the 1RM at most
COARSE_HIGH = 12  # repetitions where the kit has no next step


@dataclass(frozen=True, slots=True)
class Wish:
    """What an aim asks for: repetitions from `low` to `high`, effort at most, and the best share of the 1RM.

    `share`: the best load and how far from it half of its worth is lost; `top`: never heavier.
    `count`: repetitions beyond which a set gains nothing more. `each`: the chance that each set must have.
    """

    sets: int
    low: int
    high: int
    rest_s: int
    share: tuple[float, float] = (0.86, 0.11)
    top: float = 1.0
    count: int = 5
    rpe: float = 9.0
    each: float = EACH
    open_last: bool = True
    open_rpe: float = 9.0


@dataclass(frozen=True, slots=True)
class Choice:
    """A rung with the repetitions of each set that it allows, their chance and what they are worth."""

    rung: Rung
    reps: tuple[int, ...]
    chance: float
    worth: float

    @property
    def sound(self) -> bool:
        return self.chance >= LIKELY


def fit(situation: Situation, wish: Wish) -> Plan:
    """The working sets for a wish, under every cap, each decision with its reason."""
    count, reasons = sets_allowed(situation, wish.sets)
    if count == 0:
        return Plan((), reasons)
    limit = ceiling(situation)
    wish = replace(wish, sets=count, rest_s=rest_allowed(situation, wish.rest_s))
    if situation.verdict.young:
        wish = _for_the_young(wish)
    side = ladder(situation, limit.held)
    if not worked(situation) and not situation.verdict.young:
        return Plan(_climb(situation, wish, side, limit), (*reasons, *limit.reasons, because("first_session", 3)))
    chosen = choose(situation, wish, limit, side)
    sets = _sets(situation, wish, chosen)
    over = side.new_side and chosen.rung in side.rungs
    why = () if over else _why(situation, chosen, limit) + announced(situation, chosen.rung)
    told = (side.reasons, side.cautions) if over or not side.new_side else ((), ())
    return Plan(sets, reasons + limit.reasons + told[0] + why, told[1])


def _climb(situation: Situation, wish: Wish, side: Ladder, limit: Ceiling) -> tuple[PrescribedSet, ...]:
    """A first session: few repetitions at loads that climb, the last set open, to learn the strength from."""
    rungs = within(situation, wish, limit, side)
    sets = []
    for turn in range(wish.sets):
        last = turn == wish.sets - 1
        opened = last and wish.open_last and open_allowed(situation)
        chance, reps = CLIMB[max(turn - wish.sets, -len(CLIMB))] if opened or not last else CLIMB[1]
        rung = heaviest(situation, rungs, wish.rest_s, reps, chance)
        one = PrescribedSet(reps, rung.added_g, rung.bands, wish.rest_s, 7.0, False, situation.exercise)
        if situation.belief.chance((one,)) < chance:
            one = replace(one, reps=1)
        sets.append(replace(one, amrap=True, rpe=8.0) if opened else one)
    return tuple(sets)


def heaviest(situation: Situation, rungs: list[Rung], rest_s: int, reps: int, chance: float) -> Rung:
    """By halving: the heaviest rung on which one set of so many is likely enough; else the lightest."""
    low, high = 0, len(rungs)
    while high - low > 1:
        middle = (low + high) // 2
        rung = rungs[middle]
        one = PrescribedSet(reps, rung.added_g, rung.bands, rest_s, None, False, situation.exercise)
        low, high = (middle, high) if situation.belief.chance((one,)) >= chance else (low, middle)
    return rungs[low]


def _for_the_young(wish: Wish) -> Wish:
    """More repetitions at lighter loads, well away from the limit."""
    low = max(wish.low, YOUNG_LOW) if wish.top > YOUNG_SHARE else wish.low
    share = (min(wish.share[0], 0.75), wish.share[1])
    top = min(wish.top, YOUNG_SHARE)
    high = max(wish.high, low + 4)
    return replace(wish, low=low, high=high, share=share, top=top, rpe=min(wish.rpe, 8.0), open_last=False)


def choose(situation: Situation, wish: Wish, limit: Ceiling, side: Ladder) -> Choice:
    """Of the rungs under the caps the one that trains most, nine times in ten completed; the lightest if none is.

    What is held stays where it was if that is likely enough; more help only where nothing else is.
    """
    if _stuck(situation, limit, side):
        wish = replace(wish, high=max(wish.high, COARSE_HIGH))
    rungs = within(situation, wish, limit, side)
    choices = [_filled(situation, wish, rung, limit, side) for rung in _spread(rungs)]
    sound = [one for one in choices if one.sound]
    if sound:
        stay = sound[-1] if limit.held else None
        return stay if stay is not None else max(sound, key=lambda one: one.worth * _staying(situation, one))
    if side.easier:
        easier = replace(side, rungs=side.easier, easier=(), new_side=False, bridged=True)
        return choose(situation, wish, replace(limit, held=False), easier)
    return choices[0]


def _staying(situation: Situation, choice: Choice) -> float:
    """A little more for the same load as last time, so that nothing wavers for nothing."""
    past = worked(situation)
    return STAY if past and abs(choice.rung.system_g - past[-1].base_g) < 0.002 * past[-1].base_g else 1.0


def within(situation: Situation, wish: Wish, limit: Ceiling, side: Ladder) -> list[Rung]:
    """The rungs under the caps, the heaviest last; at least the lightest there is."""
    rungs = [one for one in side.rungs if _allowed(one, limit, side)]
    light_enough = [one for one in rungs if one.system_g <= wish.top * situation.one_rm_g]
    return light_enough or rungs[:1] or _least(situation, limit, side)


def _least(situation: Situation, limit: Ceiling, side: Ladder) -> list[Rung]:
    """Where these are all over the caps: the lightest, but not over the last load (a step over it) if the kit can."""
    least, past = list(side.rungs[:1] or situation.rungs[:1]), worked(situation)
    if not least or not past or not side.bridged:
        return least
    most_g = past[-1].base_g * (1.0 if limit.held else 1 + LARGEST_STEP)
    return (
        least
        if least[0].system_g <= most_g
        else [one for one in situation.rungs if one.system_g <= most_g][-1:] or least
    )


def _allowed(rung: Rung, limit: Ceiling, side: Ladder) -> bool:
    if limit.added_g is not None and rung.added_g > limit.added_g:
        return False
    if limit.base_g is not None and 0 < rung.added_g < CRUMB * rung.system_g and rung.system_g < limit.base_g * 0.998:
        return False
    return limit.sure_g is None or rung.system_g <= limit.sure_g or not side.bridged


def _stuck(situation: Situation, limit: Ceiling, side: Ladder) -> bool:
    """Whether the next heavier rung of the kit is over the largest step."""
    past = worked(situation)
    if not past or limit.sure_g is None or limit.held:
        return False
    above = [one.system_g for one in side.rungs if one.system_g > past[-1].base_g * 1.002]
    return not above or min(above) > limit.sure_g


def _spread(rungs: list[Rung]) -> list[Rung]:
    """At most `LOOKED_AT` of them: the heaviest, and the others evenly over what is up to a third lighter."""
    near = [one for one in rungs if one.system_g >= rungs[-1].system_g / 1.5] if len(rungs) > LOOKED_AT else rungs
    if len(near) <= LOOKED_AT:
        return near
    stride = (len(near) - 1) / (LOOKED_AT - 1)
    return [near[round(place * stride)] for place in range(LOOKED_AT)]


def _filled(situation: Situation, wish: Wish, rung: Rung, limit: Ceiling, side: Ladder) -> Choice:
    """The rung with as many repetitions in each set as are likely enough; fewer in the last until all together are."""
    from core.strength.filling import filled

    sets = _plain(situation, wish, rung, (1,) * wish.sets)
    each = _needed(situation, wish, rung, limit, side)
    most = _most_reps(situation, wish, rung, side)
    floor = tuple(min(one, most) for one in shown(situation, rung, wish.sets))
    found = filled(situation.belief, sets, each, (most,) * wish.sets)
    while found.chance < LIKELY and max(found.reps) > 1:
        top = max(found.reps) - 1
        found = filled(situation.belief, sets, each, tuple(min(top, one) for one in found.reps))
    reps = tuple(max(one, least) for one, least in zip(found.reps, floor, strict=True))
    chance = max(found.chance, LIKELY) if min(floor) > 0 else found.chance
    return Choice(rung, reps, chance, _worth(situation, wish, rung, reps, found.possible))


def _worth(situation: Situation, wish: Wish, rung: Rung, reps: tuple[int, ...], possible: tuple[float, ...]) -> float:
    """How much a session trains, in sets of the best kind: near the best load, near failure, enough repetitions.

    Sets need not go to failure (Sánchez-Moreno et al. 2020), so the third repetition in reserve costs half.
    """
    best, half = wish.share
    away = (rung.system_g / situation.one_rm_g - best) / half
    heavy = math.exp(-math.log(2) * away * away)
    total = 0.0
    for turn, (count, most) in enumerate(zip(reps, possible, strict=True)):
        near = 1.0 / (1.0 + math.exp(max(most - count, 0.0) - 3.0))
        full = math.sqrt(min(count, wish.count) / wish.count) if count >= wish.low else 0.5 * count / wish.count
        total += LATER**turn * near * full
    return heavy * total


def _needed(situation: Situation, wish: Wish, rung: Rung, limit: Ceiling, side: Ladder) -> float:
    """The chance that each set must have."""
    beyond = limit.usual_g is not None and rung.system_g > max(limit.usual_g, _next_g(situation, side))
    if situation.verdict.young or (beyond and side.bridged):
        return SURE
    return wish.each if worked(situation) else FIRST


def _next_g(situation: Situation, side: Ladder) -> int:
    """The smallest step of the kit is a usual one, even where it is a little larger."""
    last_g = worked(situation)[-1].base_g
    return min((one.system_g for one in side.rungs if one.system_g > last_g * 1.002), default=last_g)


def _most_reps(situation: Situation, wish: Wish, rung: Rung, side: Ladder) -> int:
    """The wished highest; after missed repetitions no more than asked last time; on a new band one less."""
    past = worked(situation)
    if not past:
        return wish.high
    last = past[-1]
    if side.new_side:
        return max(1, min(wish.high, asked(last) - 1))
    held = last.missed or situation.verdict.light >= Light.HOLD
    return min(wish.high, asked(last)) if held and rung.system_g >= 0.998 * last.base_g else wish.high


def asked(last: Worked) -> int:
    """The repetitions of the last session's heaviest set as prescribed, else as done."""
    wished = [
        one.reps
        for one in last.session.prescribed
        if one.exercise is last.base.exercise and one.added_g == last.base.added_g and not one.amrap
    ]
    return max(wished, default=max(last.base.reps, 1))


def _plain(situation: Situation, wish: Wish, rung: Rung, reps: tuple[int, ...]) -> tuple[PrescribedSet, ...]:
    return tuple(
        PrescribedSet(one, rung.added_g, rung.bands, wish.rest_s, None, False, situation.exercise) for one in reps
    )


def _sets(situation: Situation, wish: Wish, chosen: Choice) -> tuple[PrescribedSet, ...]:
    """The sets with the effort to expect, the last one open where that is allowed."""
    plain = _plain(situation, wish, chosen.rung, chosen.reps)
    expected = situation.belief.expected_reps(plain)
    sets = [
        replace(one, rpe=effort(one.reps, middle, wish.rpe))
        for one, (middle, _, _) in zip(plain, expected, strict=True)
    ]
    last = expected[-1][0]
    if wish.open_last and open_allowed(situation) and last > sets[-1].reps:
        least = max(1, min(sets[-1].reps, last - math.ceil(10 - wish.open_rpe) - UNDERSTATED))
        sets[-1] = replace(sets[-1], reps=least, amrap=True, rpe=wish.open_rpe)
    return tuple(sets)


def effort(reps: int, possible: int, most: float) -> float:
    """The rating to aim at: 10 less the repetitions in reserve, from 5 to `most`."""
    return min(max(10.0 - max(possible - reps, 0), 5.0), most)


def _done(situation: Situation, last: Worked) -> tuple[int, ...]:
    """The repetitions done at the load that most sets had; never none."""
    return tuple(done.reps for done, system in situation.loads(last.session) if system == last.base_g) or (0,)


def _why(situation: Situation, chosen: Choice, limit: Ceiling) -> tuple[Reason, ...]:
    """What the step is; of what is held the repetitions are no step."""
    past = worked(situation)
    percent = round(100 * chosen.chance)
    if not past:
        return (because("first_session", 3),)
    last = past[-1]
    if chosen.rung.system_g > last.base_g * 1.002:
        return (because("step_up", 2, percent=percent),)
    if chosen.rung.system_g < last.base_g * 0.998:
        return (because("step_down", 2, percent=percent),)
    before, reps = max(asked(last), *_done(situation, last)), max(chosen.reps)
    if reps > before:
        return () if limit.held else (because("reps_up", 2, reps=reps, before=before),)
    return (because("same_again", 3, percent=percent),)
