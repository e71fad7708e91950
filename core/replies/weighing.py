"""Body weights said to be such: `bw 72.4`, `weighed 11st 5`, `72,8 kg auf der Waage`, `scale says 72.8`."""

from core.replies.items import Weighed
from core.replies.view import Found, View, mass_at

LIGHTEST_G = 30_000
_HEAVIEST_G = 400_000
_BETWEEN = ("was", "today", "about", "at", "the", "weigh", "yesterday", "filler", "myself", "with", "of", "article")
_REACH = 6


def weighed(view: View) -> Found | None:
    """A mass beside a word of weighing; under 30 kg it names the load of repetitions instead."""
    if view.has(0, "weigh", "bodyweight", "weight"):
        return _word_first(view)
    mass = mass_at(view, 0)
    if mass is None or mass.doubt:
        return None
    ahead = mass.taken
    while ahead < mass.taken + 3 and view.has(ahead, "today", "the", "on", "with", "filler", "at"):
        if view.has(ahead, "weigh"):
            break
        ahead += 1
    if view.has(ahead, "weigh") and LIGHTEST_G <= mass.mass_g <= _HEAVIEST_G and view.number(ahead + 1) is None:
        return Weighed(mass.mass_g, sure=True), ahead + 1
    return None


def _word_first(view: View) -> Found | None:
    ahead = 1
    while ahead < _REACH and view.number(ahead) is None and (view.has(ahead, *_BETWEEN) or view.mark(ahead, ":", "=")):
        ahead += 1
    mass = mass_at(view, ahead)
    if mass is None or not LIGHTEST_G <= mass.mass_g <= _HEAVIEST_G:
        return None
    if mass.doubt or view.mark(ahead + mass.taken, "%", "€", "°"):
        return None
    if view.has(ahead + mass.taken, "reps", "times", "seconds", "units_after", "things"):
        return None
    if view.has(0, "weight") and not view.has(0, "weigh") and not _near(view, mass.mass_g):
        return None
    return Weighed(mass.mass_g, sure=True), ahead + mass.taken


def _near(view: View, mass_g: int) -> bool:
    known = view.context.bodyweight_g
    return known is not None and abs(mass_g - known) * 10 <= known
