"""Settings: all problems at once, secrets only from the environment or files named by it."""

from pathlib import Path

import pytest

from bot.config import Matrix, Telegram, settings
from core.problems import BadInput


def problems(environment: dict[str, str]) -> list[str]:
    with pytest.raises(BadInput) as caught:
        settings(environment)
    return str(caught.value).splitlines()


def test_without_settings_sqlite_in_the_users_data_directory() -> None:
    found = settings({"HOME": "/home/somebody"})
    assert found.database == "sqlite:////home/somebody/.local/share/plimsoll/plimsoll.db"
    assert (found.telegram, found.matrix) == (None, None)
    assert settings({"XDG_DATA_HOME": "/data"}).database == "sqlite:////data/plimsoll/plimsoll.db"


def test_the_environment_wins_over_the_file(tmp_path: Path) -> None:
    file = tmp_path / "plimsoll.toml"
    file.write_text('database = "sqlite:////a.db"\nlog_level = "debug"\n')
    found = settings({"PLIMSOLL_SETTINGS": str(file), "PLIMSOLL_DATABASE": "sqlite:////b.db"})
    assert (found.database, found.log_level) == ("sqlite:////b.db", "DEBUG")


def test_a_secret_may_not_stand_in_the_file(tmp_path: Path) -> None:
    file = tmp_path / "plimsoll.toml"
    file.write_text('telegram_token = "1:A"\nnonsense = 3\n')
    found = problems({"PLIMSOLL_SETTINGS": str(file)})
    assert len(found) == 2
    assert "secret" in found[0]
    assert "nonsense" in found[1]


def test_a_secret_from_a_named_file(tmp_path: Path) -> None:
    secret = tmp_path / "token"
    secret.write_text("1:SECRET\n")
    found = settings({"PLIMSOLL_TELEGRAM_TOKEN_FILE": str(secret)})
    assert found.telegram == Telegram("1:SECRET")
    assert found.secrets() == ("1:SECRET",)
    assert "SECRET" not in repr(found)


@pytest.mark.parametrize(
    ("environment", "named"),
    [
        ({"PLIMSOLL_DATABASE": "mysql://x"}, "PLIMSOLL_DATABASE"),
        ({"PLIMSOLL_TELEGRAM_TOKEN": "1:A", "PLIMSOLL_TELEGRAM_API": "http://example.org"}, "PLIMSOLL_TELEGRAM_API"),
        ({"PLIMSOLL_TELEGRAM_TOKEN_FILE": "/no/such/file"}, "PLIMSOLL_TELEGRAM_TOKEN_FILE"),
        ({"PLIMSOLL_SETTINGS": "/no/such/file"}, "PLIMSOLL_SETTINGS"),
        ({"PLIMSOLL_LOG_LEVEL": "loud"}, "PLIMSOLL_LOG_LEVEL"),
        ({"PLIMSOLL_MATRIX_USER": "@coach:here"}, "PLIMSOLL_MATRIX_HOMESERVER"),
    ],
)
def test_each_mistake_names_its_setting(environment: dict[str, str], named: str) -> None:
    assert named in problems(environment)[0]


def test_every_problem_at_once() -> None:
    found = problems({"PLIMSOLL_DATABASE": "x", "PLIMSOLL_LOG_LEVEL": "loud", "PLIMSOLL_MATRIX_USER": "@c:h"})
    assert len(found) == 4


def test_plain_http_on_loopback_is_fine() -> None:
    found = settings({"PLIMSOLL_TELEGRAM_TOKEN": "1:A", "PLIMSOLL_TELEGRAM_API": "http://127.0.0.1:8081/"})
    assert found.telegram == Telegram("1:A", "http://127.0.0.1:8081")


def test_matrix_whole() -> None:
    names = {"HOMESERVER": "https://h.example", "USER": "@coach:h", "PASSWORD": "p"}
    found = settings({f"PLIMSOLL_MATRIX_{name}": value for name, value in names.items()})
    assert found.matrix == Matrix("https://h.example", "@coach:h", "p")
    assert "=…" in repr(found.matrix)
