"""Power: few, fast repetitions at the load where the pull-up is most powerful.

Peak power came at 71 +- 6.6 % of the system 1RM (Muñoz-López et al. 2017, IJSPP): so 65-80 %, which is
bodyweight or little help for most, and never a strong band as a catapult.
"""

from dataclasses import replace

from core.programmes.fit import Wish, fit
from core.programmes.ladder import in_reach
from core.programmes.situation import Plan, Situation
from core.reasons import because

WISH = Wish(sets=6, low=2, high=4, rest_s=180, share=(0.72, 0.1), top=0.8, count=3, rpe=7.0, open_last=False)
MOST_HELP = 0.25  # of body mass that a band may take


def power(situation: Situation) -> Plan:
    """Without a light enough load in the kit: the lightest there is, for single repetitions if need be."""
    least = situation.mass_g * (1 - MOST_HELP)
    rungs = tuple(one for one in situation.rungs if one.system_g >= least)
    plan = fit(replace(situation, rungs=in_reach(situation, rungs or situation.rungs[-1:])), WISH)
    return plan.because(because("fast_reps", 3)) if plan.sets else plan
