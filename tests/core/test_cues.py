"""The note of the day: one that fits what is trained, with words, changing from day to day."""

from datetime import date, timedelta
from itertools import pairwise

from core.cues import ALWAYS, WITH_BAND, WITH_BELT, cue
from core.language import render
from core.training import PrescribedSet
from core.units import Unit

WEEKS = [date(2026, 10, 5) + timedelta(days=ahead) for ahead in range(60)]


def keys(*sets: PrescribedSet) -> set[str]:
    return {found.key.removeprefix("cue.") for day in WEEKS if (found := cue(day, sets)) is not None}


def test_notes_fit_what_is_trained() -> None:
    assert keys(PrescribedSet(5)) == set(ALWAYS)
    assert keys(PrescribedSet(5, 5_000)) == {*ALWAYS, *WITH_BELT}
    assert keys(PrescribedSet(5, 0, ("amber",))) == {*ALWAYS, *WITH_BAND}
    assert keys() == set()


def test_every_note_has_words_and_neighbours_differ() -> None:
    sets = (PrescribedSet(5, 5_000, ("amber",)),)
    said = [cue(day, sets) for day in WEEKS]
    assert all(one is not None and render(one, "en", Unit.KG) for one in said)
    assert all(one != other for one, other in pairwise(said))
