"""Sets that climb to the first working set, with few moves on the belt."""

from core.programmes.situation import Plan, Rung, Situation
from core.training import Exercise, PrescribedSet

REST_S = 60
EASY_SHARE = 0.85  # of the 1RM: what a warm-up repetition may weigh
TRIED = 12  # loads compared for the fewest moves


def warm_up(situation: Situation, plan: Plan) -> tuple[PrescribedSet, ...]:
    """Shoulders first, then one to three lighter sets; nothing near the working effort."""
    if not plan.sets:
        return ()
    rest_s = REST_S
    limit = situation.athlete.limits.rest_s
    rest_s = REST_S if limit is None else min(REST_S, limit)
    first = PrescribedSet(5, 0, (), rest_s, 4.0, False, Exercise.SCAPULAR_PULL)
    heaviest = max(plan.sets, key=lambda one: situation.system_g(one.added_g, one.bands) or 0)
    if plan.sets[0].exercise is not situation.exercise:
        return (first,)
    rungs = _climb(situation, heaviest)
    reps = (5, 3, 2)[-len(rungs) :] if len(rungs) > 1 else (4,)
    return (first, *(_set(situation, rung, n, rest_s) for rung, n in zip(rungs, reps, strict=False)))


def _climb(situation: Situation, working: PrescribedSet) -> tuple[Rung, ...]:
    """Bodyweight, then about two thirds of the belt; below bodyweight the next easier load of these bands."""
    top_g = situation.system_g(working.added_g, working.bands) or situation.mass_g
    lighter = [one for one in situation.rungs if one.system_g < 0.97 * top_g]
    if working.bands:
        same = [one for one in lighter if one.bands == working.bands and one.added_g == 0]
        easier = [one for one in lighter if one.added_g == 0 and one.bands and one.system_g < 0.9 * top_g]
        return tuple((easier or same)[-1:])
    plain = [one for one in lighter if not one.bands]
    found = [one for one in plain if one.added_g == 0]
    if working.added_g > 0.15 * situation.mass_g:
        found += _half_way(situation, [one for one in plain if one.added_g > 0], working.added_g)
    easy = [one for one in found if one.system_g <= EASY_SHARE * situation.one_rm_g]
    return tuple(easy)


def _half_way(situation: Situation, rungs: list[Rung], working_g: int) -> list[Rung]:
    """From 45 to 75 % of the belt, whichever leaves the fewest moves to the working load; of equals the heaviest."""
    from core.loading import load

    between = [one for one in rungs if 0.45 * working_g <= one.added_g <= 0.75 * working_g][-TRIED:]
    if not between:
        return []
    moves = {one: load([one.added_g, working_g], situation.kit).moves for one in between}
    return [min(between, key=lambda one: (moves[one], -one.added_g))]


def _set(situation: Situation, rung: Rung, reps: int, rest_s: int) -> PrescribedSet:
    possible = situation.belief.expected_reps(
        (PrescribedSet(1, rung.added_g, rung.bands, rest_s, None, False, situation.exercise),)
    )[0][0]
    count = max(1, min(reps, possible // 2))
    return PrescribedSet(count, rung.added_g, rung.bands, rest_s, 5.0, False, situation.exercise)
