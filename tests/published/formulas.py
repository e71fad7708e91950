"""Published one-repetition-maximum formulas, for checks only: load `w`, repetitions to failure `r`.

Their sources as quoted by secondary texts: Epley 1985; Brzycki 1993, JOPERD 64(1):88-90; Lander 1985, NSCA J 6(6);
O'Conner, Simmons, O'Shea 1989; Lombardi 1989; Mayhew et al. 1992, J Appl Sport Sci Res 6:200-206; Wathen 1994.
"""

import math
from collections.abc import Callable

Formula = Callable[[float, float], float]

FORMULAS: dict[str, Formula] = {
    "Epley": lambda w, r: w * (1 + r / 30),
    "Brzycki": lambda w, r: 36 * w / (37 - r),
    "Lander": lambda w, r: 100 * w / (101.3 - 2.67123 * r),
    "O'Conner": lambda w, r: w * (1 + 0.025 * r),
    "Lombardi": lambda w, r: w * r**0.10,
    "Mayhew": lambda w, r: 100 * w / (52.2 + 41.9 * math.exp(-0.055 * r)),
    "Wathen": lambda w, r: 100 * w / (48.8 + 53.8 * math.exp(-0.075 * r)),
}
# NSCA training load chart: % of the 1RM at 1 to 10 repetitions.
NSCA = (100, 95, 93, 90, 87, 85, 83, 80, 77, 75)
