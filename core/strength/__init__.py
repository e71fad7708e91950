"""How strong somebody is and how sure we are: a Bayesian estimate on the logarithm of the system 1RM.

`estimate` folds sessions into a `Checkpoint`; `belief` answers questions about a day; `faults` names what was
left out. Pure and deterministic; needs numpy, so import it where it is used.
"""

from core.strength.belief import Belief, Pull, belief
from core.strength.estimate import estimate, outdated
from core.strength.faults import Fault, faults
from core.strength.priors import BandReading, Profile
from core.strength.state import ENGINE_VERSION, Checkpoint

__all__ = [
    "ENGINE_VERSION",
    "BandReading",
    "Belief",
    "Checkpoint",
    "Fault",
    "Profile",
    "Pull",
    "belief",
    "estimate",
    "faults",
    "outdated",
]
