"""Strength: few repetitions, long rests, the heaviest load that is likely to be completed.

At 80 % of the 1RM and more, 1-6 repetitions, 3-5 minutes of rest (ACSM position stand 2009, MSSE 41(3)); no
need to go to failure (Sánchez-Moreno et al. 2020).
"""

from core.programmes.fit import Wish, fit
from core.programmes.situation import Plan, Situation

WISH = Wish(sets=5, low=2, high=10, rest_s=240)


def strength(situation: Situation) -> Plan:
    return fit(situation, WISH)
