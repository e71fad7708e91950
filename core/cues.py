"""One thing to think of today: short technique notes of our own, a different one from day to day."""

from datetime import date

from core.phrases import Phrase, phrase
from core.training import PrescribedSet

ALWAYS = ("hang_still", "shoulders_first", "chin_over", "full_hang", "no_swing", "breathe", "even_grip")
WITH_BELT = ("belt_quiet", "step_down")
WITH_BAND = ("band_slow", "band_foot")


def cue(day: date, sets: tuple[PrescribedSet, ...]) -> Phrase | None:
    """The note for the day, None where there is nothing to do; the same day has the same note."""
    if not sets:
        return None
    kinds: tuple[str, ...] = ALWAYS
    if any(one.added_g for one in sets):
        kinds += WITH_BELT
    if any(one.bands for one in sets):
        kinds += WITH_BAND
    return phrase(f"cue.{kinds[day.toordinal() % len(kinds)]}")
