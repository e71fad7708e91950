"""Endurance: more and more repetitions with one's own weight, in many easy sets with short rests."""

from dataclasses import replace

from core.programmes.fit import Wish, fit
from core.programmes.ladder import in_reach
from core.programmes.situation import Plan, Situation
from core.reasons import because

WISH = Wish(sets=6, low=3, high=25, rest_s=90, share=(0.8, 0.4), count=15, rpe=8.0)
MOST_HELP = 0.25  # of body mass


def endurance(situation: Situation) -> Plan:
    """Bodyweight wherever three repetitions are likely, else the lightest help that gives them; no belt."""
    light = tuple(
        one for one in situation.rungs if one.added_g == 0 and one.system_g >= situation.mass_g * (1 - MOST_HELP)
    )
    plan = fit(replace(situation, rungs=in_reach(situation, light or situation.rungs[:1])), WISH)
    return plan.because(because("short_rests", 3, seconds=plan.sets[0].rest_s)) if plan.sets else plan
