"""Muscle: moderate loads, 6-12 repetitions, near enough to failure, rests of about two minutes.

70-85 % of the 1RM, 8-12 repetitions, 1-2 minutes of rest, ten sets a week and more (ACSM 2009; 2026 stand).
"""

from core.programmes.fit import Wish, fit
from core.programmes.situation import Plan, Situation

WISH = Wish(sets=5, low=6, high=12, rest_s=120, share=(0.76, 0.1), top=0.86, count=10)


def hypertrophy(situation: Situation) -> Plan:
    return fit(situation, WISH)
