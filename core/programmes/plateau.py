"""Flat beyond the noise, and what it may come from: each cause has its own proposal to the coach.

Retests of a 1RM vary by 4.2 % (median, Grgic et al. 2020, Sports Med Open 6:31), so single sessions tell
nothing: the means of a third of six weeks each are compared, and the estimate must have stopped rising too.
"""

from datetime import timedelta
from statistics import mean

from core.phrases import Mass
from core.programmes.caps import USUAL_STEP
from core.programmes.history import Worked, worked
from core.programmes.rhythm import flat
from core.programmes.situation import Situation
from core.reasons import Reason, because
from core.training import BodyMass, Weekday

FLAT = 0.01  # well inside the noise of the means compared
CURVE = 0.0352  # Johnson et al. 2009
SPAN = timedelta(days=42)
LEAST_SESSIONS = 8
FEW_SESSIONS = 4
COARSE = 0.05
KEPT_DAYS = 0.7  # of the training days in the span
MASS_CHANGE = 0.03


def proposals(situation: Situation, masses: tuple[BodyMass, ...]) -> tuple[Reason, ...]:
    """Nothing while strength rises or little is known; else the causes, the surest first."""
    past = [one for one in worked(situation) if one.session.day >= situation.day - SPAN]
    if len(past) < LEAST_SESSIONS or (past[-1].session.day - past[0].session.day) < SPAN * 0.7:
        return _missed_days(situation, past)
    rise = gain(tuple(past))
    if rise > FLAT or not flat(situation):
        return ()
    causes = (
        *_pain(situation),
        *_missed_days(situation, past),
        *_coarse(situation, past[-1]),
        *_mass(situation, masses),
    )
    percent = round(100 * rise, 1)
    return causes or (because("plateau", 4, percent=percent, n=SPAN.days // 7),)


def gain(past: tuple[Worked, ...]) -> float:
    """Rise of what the sessions show, last third over first third: the best set's load by the curve."""
    shown = [_shown(one) for one in past]
    third = max(1, len(shown) // 3)
    return mean(shown[-third:]) / mean(shown[:third]) - 1


def _shown(one: Worked) -> float:
    """The 1RM in grams that the heaviest sets suggest; a set without a rating is as good as its repetitions."""
    heavy = [done for done in one.sets if done.added_g == one.base.added_g and done.bands == one.base.bands]
    most = max(done.reps + (0 if done.rpe is None else 10 - done.rpe) for done in heavy)
    return one.base_g * (1 + CURVE * max(most - 1, 0))


def _pain(situation: Situation) -> tuple[Reason, ...]:
    sore = [
        one
        for one in situation.sessions
        if one.day >= situation.day - SPAN and one.pain is not None and one.pain.score != 0
    ]
    return (because("plateau_pain", 4, n=len(sore)),) if len(sore) >= 2 else ()


def _missed_days(situation: Situation, past: list[Worked]) -> tuple[Reason, ...]:
    if len(past) < FEW_SESSIONS or past[0].session.day > situation.day - SPAN / 2:
        return ()
    days = [past[0].session.day + timedelta(days=ahead) for ahead in range(SPAN.days)]
    wished = [day for day in days if day < situation.day and Weekday.of(day) in situation.athlete.training_days]
    if not wished or len(past) >= KEPT_DAYS * len(wished):
        return ()
    return (because("plateau_missed_days", 4, done=len(past), planned=len(wished)),)


def _coarse(situation: Situation, last: Worked) -> tuple[Reason, ...]:
    """The next load of the kit is over the largest step."""
    above = [one.system_g for one in situation.rungs if one.system_g > last.base_g * 1.001]
    if above and min(above) <= last.base_g * (1 + COARSE):
        return ()
    step = Mass(round(last.base_g * USUAL_STEP / 250) * 250)
    return (because("plateau_coarse_kit", 4, step=step),)


def _mass(situation: Situation, masses: tuple[BodyMass, ...]) -> tuple[Reason, ...]:
    """Only a gain is named: nothing here praises a loss."""
    known = sorted((one for one in masses if situation.day - SPAN <= one.day <= situation.day), key=lambda one: one.day)
    if len(known) < 2:
        return ()
    change = known[-1].mass_g / known[0].mass_g - 1
    if abs(change) < MASS_CHANGE or situation.verdict.young:
        return ()
    return (because("plateau_body_mass", 4, change=Mass(known[-1].mass_g - known[0].mass_g)),)
