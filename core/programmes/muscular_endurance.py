"""Muscular endurance: many repetitions and short rests, at loads that suit a pull-up.

The handbook's 40-60 % with more than 15 repetitions and rests under 90 s (ACSM 2009) would be a strong band
for most; here the help stays under a third of body mass, and repetitions come first.
"""

from dataclasses import replace

from core.programmes.fit import Wish, fit
from core.programmes.ladder import in_reach
from core.programmes.situation import Plan, Situation
from core.reasons import because

WISH = Wish(sets=4, low=12, high=20, rest_s=75, share=(0.6, 0.15), top=0.75, count=18)
MOST_HELP = 0.33  # of body mass


def muscular_endurance(situation: Situation) -> Plan:
    most, pulls = situation.mass_g * MOST_HELP, dict(situation.pulls)
    rungs = tuple(one for one in situation.rungs if pulls.get(one.bands, 0) <= most)
    plan = fit(replace(situation, rungs=in_reach(situation, rungs or situation.rungs[-1:])), WISH)
    return plan.because(because("short_rests", 3, seconds=plan.sets[0].rest_s)) if plan.sets else plan
