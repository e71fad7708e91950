"""Which room may import which, and how large a room may grow: one table, and proof that each row can fail."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
STDLIB_LEFT_OUT_OF_CORE = ("sqlite3", "socket", "asyncio", "subprocess", "time", "os", "threading", "urllib")
SQL = ("sqlalchemy", "sqlmodel", "alembic", "psycopg")
NETWORKS = ("telegram", "nio", "httpx", "aiohttp")
TRAINING = ("core.training", "core.club", "core.speech", "core.decide", "core.replies", "core.conversation", "core.kit")
LONGEST = 350


@dataclass(frozen=True)
class Rule:
    """Files under `room` (but not under `but`) import nothing of `never`."""

    room: str
    never: tuple[str, ...]
    but: tuple[str, ...] = ()


RULES = (
    Rule("core/", ("bot", "tests", *SQL, *NETWORKS, "apscheduler", "rich", "matplotlib")),
    Rule("core/", STDLIB_LEFT_OUT_OF_CORE),
    Rule("core/", ("random", "secrets"), but=("core/simulate/",)),
    Rule("bot/", SQL, but=("bot/storage/",)),
    Rule("bot/", ("telegram",), but=("bot/messengers/",)),
    Rule("bot/", ("nio",), but=("bot/messengers/",)),
    Rule("bot/", ("apscheduler",), but=("bot/heartbeat.py",)),
    Rule("bot/", ("matplotlib",), but=("bot/pictures/", "bot/pictures.py", "bot/season_picture.py")),
    Rule("bot/messengers/", (*TRAINING, "bot.storage", "bot.coaching", "bot.delivery", "bot.app", "bot.config")),
    Rule("bot/storage/", ("bot.coaching", "bot.delivery", "bot.app", "bot.config", "core.decide", "core.replies")),
    Rule("bot/", ("bot.messengers.telegram", "bot.messengers.matrix"), but=("bot/app.py", "bot/messengers/")),
)


def imported(source: str) -> Iterator[str]:
    """Every module a source imports, also inside functions; relative imports are refused by their dot."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = "." * node.level + (node.module or "")
            yield base
            yield from (f"{base}.{alias.name}" for alias in node.names)


def broken(path: str, source: str) -> list[str]:
    """The rules a file breaks, in words."""
    rows = [rule for rule in RULES if path.startswith(rule.room) and not path.startswith(rule.but or ("\0",))]
    return [
        f"{path} imports {name}"
        for name in imported(source)
        for rule in rows
        if name.startswith(".") or any(_within(name, never) for never in rule.never)
    ]


def _within(name: str, never: str) -> bool:
    return name.startswith(never) if never.endswith(".") else name == never or name.startswith(never + ".")


def sources() -> list[Path]:
    return sorted([*(ROOT / "core").rglob("*.py"), *(ROOT / "bot").rglob("*.py")])


def test_no_room_imports_what_it_may_not() -> None:
    assert len(sources()) > 20
    found = [slip for path in sources() for slip in broken(str(path.relative_to(ROOT)), path.read_text("utf-8"))]
    assert found == []


def _inside(rule: Rule) -> str:
    """A path under the rule's room and outside its exceptions."""
    return f"{rule.room}anything.py"


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: f"{rule.room}-{rule.never[0]}")
def test_each_rule_can_fail(rule: Rule) -> None:
    for never in rule.never:
        name = f"{never}x" if never.endswith(".") else never
        assert broken(_inside(rule), f"def f():\n    import {name}\n")
        assert broken(_inside(rule), f"from {name} import thing\n")
        assert not broken("deploy/x.py", f"import {name}\n")
    for but in rule.but:
        allowed = but if but.endswith(".py") else f"{but}x.py"
        own = [row for row in RULES if row is not rule and allowed.startswith(row.room)]
        hits = broken(allowed, f"import {rule.never[0]}\n")
        assert not hits or any(_within(rule.never[0], never) for row in own for never in row.never)


def test_relative_imports_are_refused() -> None:
    assert broken("core/x.py", "from . import units\n")


def test_no_file_outgrows_an_hour_of_reading() -> None:
    lengths = {str(path.relative_to(ROOT)): _length(path) for path in sources() if "migrations" not in path.parts}
    assert {name: count for name, count in lengths.items() if count > LONGEST} == {}


def _length(path: Path) -> int:
    return len(path.read_text("utf-8").splitlines())


def test_the_top_level_holds_only_what_belongs_there() -> None:
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "bot", "core", "tests", "deploy"}
    made = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")} - {"dist", "build"}
    assert {name for name in made if not name.endswith(".egg-info")} <= allowed


MOCKS = ("Magic" + "Mock", "Async" + "Mock", "mock" + ".patch")


def test_nothing_is_mocked() -> None:
    tests = sorted((ROOT / "tests").rglob("*.py"))
    assert [str(path) for path in tests if any(mock in path.read_text("utf-8") for mock in MOCKS)] == []
