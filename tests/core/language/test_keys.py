"""Nothing is said without words, nothing has words and is not said, and every placeholder is given its value."""

from pathlib import Path

import core
from core.kit import Hitch, Kind, Support
from core.language import placeholders, sentences
from core.training import Aim, Exercise, Screening
from tests.core.language.keys import Said, said, spelled

ROOT = Path(core.__file__).parent.parent
ENGLISH = sentences("en")

FAULTS = ("future", "out_of_order", "impossible_set", "band_unknown", "body_mass")

# What fills the gap of a key that is put together; each pattern of the sources has its row here.
FAMILIES: dict[str, tuple[str, ...]] = {
    "aim.{}": tuple(Aim),
    "by.{}": ("coach", "athlete", "engine"),
    "caution.left_out_{}": FAULTS,
    "reason.left_out_{}": FAULTS,
    "cue.{}": tuple(key.removeprefix("cue.") for key in ENGLISH if key.startswith("cue.")),
    "kit.{}": tuple(Kind),
    "kit.picture.{}": (*Hitch, *Support),
    "talk.coach.{}": ("hold", "cap", "pause", "note"),
    "talk.coach.{}_what": ("cap", "note", "aim", "days"),
    "talk.exercise.{}": tuple(one for one in Exercise if one is not Exercise.PULL_UP),
    "talk.hang.{}": (*Kind, "work", "warm_up"),
    "talk.hang.{}_set": ("work", "warm_up"),
    "talk.hang.{}_sets": ("work", "warm_up"),
    "talk.menu.{}": ("next", "hang", "why", "log", "undo", "help", "board", "week"),
    "talk.media.{}": ("photo", "film", "voice", "file"),
    "talk.screening.question_{}": tuple(str(number) for number in range(1, 8)),
    "talk.week.{}": (Screening.PENDING, Screening.REFERRED),
}
BY_NAME = ("place.", "pattern.", "proposal.")  # looked up by `core.language` itself, or by `Advice.proposed`
UNSAID: tuple[str, ...] = ()
MAKERS = ("core/conversation/turn.py", "core/reasons.py", "core/phrases.py", "core/language/places.py")


def everything_said() -> list[tuple[str, Said]]:
    paths = sorted([*(ROOT / "core").rglob("*.py"), *(ROOT / "bot").rglob("*.py")])
    named = [(str(path.relative_to(ROOT)), path) for path in paths]
    return [(name, one) for name, path in named if name not in MAKERS for one in said(path.read_text("utf-8"))]


FOUND = everything_said()
KEYS = {key for _, one in FOUND for key in spelled(one, FAMILIES)}


def test_the_sources_were_read() -> None:
    assert len(KEYS) > 200


def test_every_key_has_words() -> None:
    assert sorted((name, key) for name, one in FOUND for key in spelled(one, FAMILIES) if key not in ENGLISH) == []


def test_all_words_are_said() -> None:
    assert sorted(key for key in ENGLISH if key not in KEYS and not key.startswith(BY_NAME + UNSAID)) == []


def test_every_placeholder_gets_its_value() -> None:
    assert unfilled(FOUND) == []


def unfilled(found: list[tuple[str, Said]]) -> list[str]:
    """The placeholders that a call leaves empty; of a key that is put together, those that all its calls do."""
    slips: dict[str, list[str]] = {}
    for name, one in found:
        for key in spelled(one, FAMILIES) if one.values is not None else ():
            lack = sorted(placeholders(ENGLISH.get(key, "")) - (one.values or frozenset()))
            put_together = key if "{}" in one.key else f"{name} {key}"
            slips.setdefault(put_together, []).append(f"{name}: {key} {lack}" if lack else "")
    return [told[0] for told in slips.values() if all(told)]


def test_families_are_no_older_than_the_sources() -> None:
    patterns = {one.key for _, one in FOUND if "{}" in one.key}
    assert patterns == FAMILIES.keys()


def test_faults_are_those_of_the_estimate() -> None:
    source = (ROOT / "core/strength/faults.py").read_text("utf-8")
    assert all(f'"{code}"' in source for code in FAULTS)


def test_the_laws_can_fail() -> None:
    source = """
line("ack.empty")
line("no.such")
phrase("kit.harder" if heavy else "kit.eazier")
line(f"exercise.{one.value}")
line(f"exercises.{one.value}")
code = "away" if gone else "away_till"
because(code)
because(given)
line("ack.moved", date=day)
line("ack.moved", **values)
"""
    found = list(said(source))
    unknown = [key for one in found for key in spelled(one, FAMILIES) if key not in ENGLISH]
    wrong = ["talk.no.such", "kit.eazier", "talk.exercises.{}", "reason.away_till", "reason.?given"]
    assert unknown == wrong
    assert unfilled([("here", one) for one in found])[-1:] == ["here: talk.ack.moved ['day']"]
    assert "talk.exercise.dip" in {key for one in found for key in spelled(one, FAMILIES)}
