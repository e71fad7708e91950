"""What people ask, answer and order in each language, and what they only say."""

import re
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.club import Member, Role
from core.conversation.commands import Command, command, log_lines, until
from core.language import LANGUAGES, REFERENCE, sentences, word_file
from core.language.asked import alarming, request
from core.language.tables import exactly, phrases, plain
from core.replies import Context, read
from core.training import Aim, Weekday
from tests.core.language import said_de, said_en, said_es, said_fr
from tests.core.language.laws import QUOTES

SAID = {"en": said_en, "de": said_de, "es": said_es, "fr": said_fr}
ROSTER = (Member("1", "Ines", Role.ATHLETE), Member("2", "Tobin", Role.ATHLETE))
BOTH = [(here, theirs) for here in LANGUAGES for theirs in dict.fromkeys((here, REFERENCE))]  # English everywhere


def cases(table: str) -> list[tuple[str, str, str]]:
    """Every example of a table with its key, in its own language, and the English ones in every language."""
    found = [(here, SAID[theirs], theirs) for here, theirs in BOTH]
    return [
        (here, key, text) for here, said, _ in found for key, texts in getattr(said, table).items() for text in texts
    ]


def texts(table: str) -> list[tuple[str, str]]:
    return [(here, text) for here, theirs in BOTH for text in getattr(SAID[theirs], table)]


@pytest.mark.parametrize("language", LANGUAGES)
def test_there_are_examples_of_everything(language: str) -> None:
    said = SAID[language]
    assert said.REQUESTS.keys() == word_file(language)["requests"].keys() - {"chatter"}
    assert sum(map(len, said.REQUESTS.values())) > 30
    assert min(len(said.CHAT), len(said.ALARMS), len(said.CALM), len(said.COMMANDS)) > 10


@pytest.mark.parametrize(("language", "key", "text"), cases("REQUESTS"))
def test_requests(language: str, key: str, text: str) -> None:
    assert request(text, language) == key


@pytest.mark.parametrize(("language", "text"), texts("CHAT"))
def test_small_talk_asks_for_nothing(language: str, text: str) -> None:
    assert request(text, language) in (None, "chatter")
    assert not alarming(text, language)


@pytest.mark.parametrize(("language", "text"), texts("ALARMS"))
def test_signs_that_stop(language: str, text: str) -> None:
    assert alarming(text, language)


@pytest.mark.parametrize(("language", "text"), texts("CALM"))
def test_no_sign_is_no_alarm(language: str, text: str) -> None:
    assert not alarming(text, language)


@pytest.mark.parametrize("language", LANGUAGES)
def test_no_request_or_answer_is_an_alarm(language: str) -> None:
    asked = [phrase for table in ("requests", "answers") for _, listed in phrases(language, table) for phrase in listed]
    assert [phrase for phrase in asked if alarming(phrase, language)] == []


@pytest.mark.parametrize("language", LANGUAGES)
def test_each_sign_alarms_and_each_denial_calms(language: str) -> None:
    own = word_file(language)
    assert [sign for sign in own["alarm"]["alarm"] if not alarming(f"well: {sign}, you know", language)] == []
    assert [one for one in own["alarm_denied"]["denied"] if alarming(f"well: {one}.", language)] == []


@pytest.mark.parametrize(
    "dressed", ["{}.", "({})", "5 5 4.\n{}!", "ok,{}", "…{}…", "{}: since Monday", "«{}»", "{} 7.5"]
)
@pytest.mark.parametrize("language", LANGUAGES)
def test_a_sign_is_seen_in_any_dress(language: str, dressed: str) -> None:
    signs = word_file(language)["alarm"]["alarm"]
    spelled = [form for sign in signs for form in (sign, sign.upper(), sign.replace("'", "’"), sign.replace(" ", "  "))]
    assert [sign for sign in spelled if not alarming(dressed.format(sign), language)] == []


@given(st.text(max_size=200), st.sampled_from(LANGUAGES))
@settings(max_examples=100, deadline=None)
def test_any_text_is_read(text: str, language: str) -> None:
    assert request(text, language) in {None, *word_file(REFERENCE)["requests"]}
    assert alarming(text, language) == alarming(plain(text), language)


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_denial_denies_something(language: str) -> None:
    """Else it is dead: a denial without a sign in it changes nothing."""
    signs = word_file(language)["alarm"]["alarm"]
    idle = [
        one for one in word_file(language)["alarm_denied"]["denied"] if not any(plain(s) in plain(one) for s in signs)
    ]
    assert idle == []


@pytest.mark.parametrize(("language", "key", "text"), cases("ANSWERS"))
def test_answers(language: str, key: str, text: str) -> None:
    assert exactly(text, language, "answers") == key


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_stands_on_a_button_can_be_typed(language: str) -> None:
    said = sentences(language)
    for key, answer in (("yes", "yes"), ("no", "no"), ("screening.none", "no"), ("screening.some", "yes")):
        assert exactly(str(said[f"talk.{key}"]), language, "answers") == answer


@pytest.mark.parametrize(
    ("language", "text", "verb", "rest"),
    [(here, *row) for here, theirs in BOTH for row in SAID[theirs].COMMANDS],
)
def test_commands(language: str, text: str, verb: str, rest: str) -> None:
    found = command(text, ROSTER, language)
    assert isinstance(found, Command)
    assert (found.verb, found.rest) == (verb, rest)


@pytest.mark.parametrize(("language", "text"), texts("NO_COMMANDS"))
def test_a_coachs_chat_is_no_command(language: str, text: str) -> None:
    assert command(text, ROSTER, language) is None


@pytest.mark.parametrize("language", LANGUAGES)
def test_aims_days_and_lengths(language: str) -> None:
    from datetime import date

    said = SAID[language]
    assert {aim: exactly(text, language, "aims") for aim, text in said.AIMS.items()} == {aim: aim for aim in said.AIMS}
    assert {key for key, _ in phrases(language, "aims")} == set(Aim)
    typed, meant = said.DAYS
    listed = dict(phrases(language, "weekdays"))
    assert [day for day in Weekday if set(listed[day]) & set(plain(typed).split())] == meant.split()
    assert [until(text, date(2026, 10, 5), language) for text in said.UNTIL] == [date(2026, 10, 14), date(2026, 10, 18)]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("table", ["requests", "answers", "coach", "aims", "weekdays", "lengths", "languages"])
def test_no_words_mean_two_things(language: str, table: str) -> None:
    listed = Counter(phrase for _, all_of in phrases(language, table) for phrase in set(all_of))
    assert [phrase for phrase, count in listed.items() if count > 1] == []


TYPED_BY_ATHLETES = ("talk.hint", "talk.foreign", "talk.help.asks", "talk.due.nudge")
TYPED_BY_COACHES = (
    "talk.joined_coach",
    "talk.coach.",
    "talk.week.",
    "talk.alarm.",
    "talk.screening.coach",
    "talk.young.",
    "talk.preview.",
)
NOT_FOR_US = ("{words}", "{account}", "plimsoll ")  # quoted words, and commands of the shell
NAMES = re.compile(r"\b(NAME|NOMBRE|NOM)\b|\{name\}")


def quoted(language: str, keys: tuple[str, ...]) -> list[str]:
    """What the coach's sentences tell people to type."""
    opening, closing = QUOTES[language]
    found = re.compile(f"{opening}\\s*([^{closing}]*?)\\s*{closing}")
    shown = [str(text) for key, text in sentences(language).items() if key.startswith(keys)]
    typed = [one for text in shown for one in found.findall(text) if not one.startswith(NOT_FOR_US)]
    return [NAMES.sub("Ines", one) for one in typed if one != "{name}"]


@pytest.mark.parametrize("language", LANGUAGES)
def test_athletes_are_told_what_is_understood(language: str) -> None:
    one_set = {"reps": 5, "added_g": 7500, "bands": []}
    context = Context.from_json({"language": language, "logged": [one_set], "today": "2026-10-05"})
    typed = quoted(language, TYPED_BY_ATHLETES)
    assert len(typed) >= 10
    assert [text for text in typed if request(text, language) is None and not _records(text, context)] == []


def _records(text: str, context: Context) -> bool:
    reading = read(text, context).to_json()
    facts = (reading["sets"], reading["skipped"], reading["pain"], reading.get("move_to"), reading["mode"] == "replace")
    return any(facts)


@pytest.mark.parametrize("language", LANGUAGES)
def test_coaches_are_told_what_is_understood(language: str) -> None:
    typed = quoted(language, TYPED_BY_COACHES)
    assert len(typed) >= 12
    assert [text for text in typed if not _obeyed(text, language)] == []
    listed = str(sentences(language)["talk.coach.help"]).partition(":")[2].split(";")[0].split("·")
    assert [one for one in listed if not _obeyed(NAMES.sub("Ines", one).strip(), language)] == []


def _obeyed(text: str, language: str) -> bool:
    return isinstance(command(text, ROSTER, language), Command) or log_lines(text, ROSTER) is not None
