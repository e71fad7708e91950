"""One rule for each aim: a situation goes in, the working sets with their reasons come out.

A rule is one function in one file. To add one: write it, name it here, and give it a table of cases in
`tests/core/programmes`; the laws over all rules then hold it.
"""

from core.programmes.endurance import endurance
from core.programmes.first_pull_up import first_pull_up
from core.programmes.hypertrophy import hypertrophy
from core.programmes.muscular_endurance import muscular_endurance
from core.programmes.power import power
from core.programmes.situation import Plan, Rule, Rung, Situation
from core.programmes.strength import strength
from core.training import Aim

RULES: dict[Aim, Rule] = {
    Aim.FIRST_PULL_UP: first_pull_up,
    Aim.STRENGTH: strength,
    Aim.HYPERTROPHY: hypertrophy,
    Aim.POWER: power,
    Aim.MUSCULAR_ENDURANCE: muscular_endurance,
    Aim.ENDURANCE: endurance,
}

__all__ = ["RULES", "Plan", "Rule", "Rung", "Situation"]
