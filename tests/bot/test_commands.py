"""The command line as scripts use it: exit codes, one sentence on stderr, JSON and nothing else on stdout."""

import io
import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bot import demo
from bot.cli import COMMANDS, main

ROOT = Path(__file__).parent.parent.parent
KIT = """
unit = "kg"
[belt]
max_pieces = 4
[[plate]]
mass = 1.25
count = 2
[[plate]]
mass = 5
count = 1
[[band]]
label = "amber"
hang = 24.0
top = 12.0
"""


class Run:
    """One call of the command in this process."""

    def __init__(self, code: int, out: str, err: str) -> None:
        self.code, self.out, self.err = code, out, err

    @property
    def json(self) -> Any:
        return json.loads(self.out)

    @property
    def lines(self) -> list[Any]:
        return [json.loads(line) for line in self.out.splitlines()]


Shell = Callable[..., Run]


@pytest.fixture
def shell(monkeypatch: pytest.MonkeyPatch, capfdbinary: pytest.CaptureFixture[bytes], tmp_path: Path) -> Shell:
    """Commands with a database of their own and standard input from a byte string."""
    monkeypatch.setenv("PLIMSOLL_DATABASE", f"sqlite:///{tmp_path}/club.db")

    def call(*words: str, given: bytes = b"") -> Run:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(given)))
        code = main(list(words))
        sys.stdout.flush()
        out, err = capfdbinary.readouterr()
        return Run(code, out.decode(), err.decode())

    return call


@pytest.fixture
def kit(tmp_path: Path) -> str:
    path = tmp_path / "kit.toml"
    path.write_text(KIT)
    return str(path)


@pytest.fixture
def athlete(tmp_path: Path) -> str:
    path = tmp_path / "mirela.json"
    path.write_text(json.dumps(demo.athlete_files()[0]))
    return str(path)


@pytest.mark.parametrize("name", COMMANDS)
def test_each_help_has_an_example(name: str, shell: Shell) -> None:
    with pytest.raises(SystemExit) as ended:
        shell(name, "--help")
    assert ended.value.code == 0


def test_the_helps_show_their_examples() -> None:
    from importlib import import_module

    for name, (module, _) in COMMANDS.items():
        told = import_module(module).parser(f"plimsoll {name}").format_help()
        assert "example:" in told
        assert f"plimsoll {name}" in told.partition("example:")[2]
        assert "--json" in told


@pytest.mark.parametrize(
    "words",
    [
        ("lift",),
        ("load", "5"),
        ("load", "5", "--kit", "/no/such/kit.toml"),
        ("load", "five", "--kit", "KIT"),
        ("load", "5", "--kit", "KIT", "--unit", "stone"),
        ("steps", "--kit", "KIT", "--bodyweight", "much"),
        ("steps", "--kit", "KIT", "--bodyweight", "-3"),
        ("export", "Nobody"),
        ("erase", "Nobody"),
        ("import", "/no/such/file.json"),
        ("read", "--context", "/no/such/context.json"),
        ("advise", "--nonsense"),
        ("simulate", "--kit", "golden"),
        ("simulate", "--athletes", "-1"),
        ("share", "/no/such/file.json", "--kit", "KIT"),
        ("run",),
    ],
    ids=" ".join,
)
def test_a_mistake_is_one_sentence_and_exit_2(words: tuple[str, ...], shell: Shell, kit: str) -> None:
    run = shell(*(kit if word == "KIT" else word for word in words))
    assert run.code == 2
    assert run.out == ""
    assert "Traceback" not in run.err
    assert len(run.err.strip().splitlines()) == 1
    assert run.err.strip().endswith((".", "”."))


def test_without_a_command_the_overview_and_exit_2(shell: Shell) -> None:
    run = shell()
    assert run.code == 2
    assert all(f"  {name}" in run.out for name in COMMANDS)
    assert shell("--help").code == 0


def test_read_a_message_a_line(shell: Shell) -> None:
    run = shell("read", given=b"5 5 4 at 7.5\nsee you at 7\n5\\n5\\n4 @ 10\n\n")
    assert [[one["reps"] for one in answer["sets"]] for answer in run.lines] == [[5, 5, 4], [], [5, 5, 4], []]
    assert run.lines[0]["sets"][0]["added_g"] == 7500


def test_read_with_contexts(shell: Shell, tmp_path: Path) -> None:
    context = tmp_path / "context.json"
    context.write_text('{"unit": "lb"}')
    assert shell("read", "--context", str(context), given=b"5 at 25\n").lines[0]["sets"][0]["added_g"] == 11340
    line = json.dumps({"text": "5 at 25", "context": {"unit": "kg"}}).encode()
    assert shell("read", "--jsonl", given=line + b"\n").lines[0]["sets"][0]["added_g"] == 25000


@pytest.mark.parametrize(
    "text", [b"\xff\xfe\x00\n", b"\\ud800 5\n", b"9" * 5000 + b"\n", "٥ ٥ ٤\n".encode(), b"\r\n", b"[" * 3000 + b"\n"]
)
def test_no_text_makes_read_fail(text: bytes, shell: Shell) -> None:
    run = shell("read", given=text)
    assert (run.code, run.err) == (0, "")
    assert len(run.lines) == 1


@pytest.mark.parametrize("line", [b"{", b"[]", b'{"text": 5}', b'{"text": "5", "context": 3}', b"[" * 100_000])
def test_a_bad_line_of_jsonl_is_named(line: bytes, shell: Shell) -> None:
    run = shell("read", "--jsonl", given=b'{"text": "5"}\n' + line + b"\n")
    assert run.code == 2
    assert len(run.lines) == 1  # what came before is answered
    assert run.err.startswith("line 2: ")


def test_load_and_steps(shell: Shell, kit: str) -> None:
    loaded = shell("load", "0", "5", "7.5", "--kit", kit).json
    assert [one["total_g"] for one in loaded["sets"]] == [0, 5000, 7500]
    assert loaded["moves"] == 3
    steps = shell("steps", "--kit", kit, "--bodyweight", "72.4").json["steps"]
    amber = next(one for one in steps if one["bands"] == ["amber"] and one["added_g"] == 2500)
    assert (amber["system_g"], amber["assist_g"]) == (72400 + 2500 - 18000, 18000)


def test_a_kit_with_several_mistakes_names_them_all(shell: Shell, tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text('unit = "kg"\n[[plate]]\nmass = -1\ncount = 1\n[[band]]\nlabel = "amber"\nhang = 3\ntop = 9\n')
    run = shell("load", "5", "--kit", str(bad))
    assert run.code == 2
    assert len(run.err.strip().splitlines()) == 2


def test_an_athlete_goes_in_and_out_unchanged(shell: Shell, athlete: str, tmp_path: Path) -> None:
    first = shell("import", athlete).json
    assert first["changed"]
    assert shell("import", athlete).json == {"changed": []}
    exported = shell("export", "mirela").out
    (tmp_path / "again.json").write_text(exported)
    assert shell("import", str(tmp_path / "again.json")).json == {"changed": []}
    elsewhere = shell("import", str(tmp_path / "again.json"), "--club", "Elsewhere").json
    assert elsewhere["changed"]
    assert json.loads(shell("export", "Mirela", "--club", "Elsewhere").out) == json.loads(exported)
    assert shell("export", "Mirela").code == 2  # two clubs now: which one?


def test_a_broken_athlete_file_is_named_and_nothing_is_kept(shell: Shell, tmp_path: Path) -> None:
    data = demo.athlete_files()[0]
    data["athlete"]["aim"] = "fame"
    data["sessions"][0]["day"] = "yesterday"
    (tmp_path / "bad.json").write_text(json.dumps(data))
    run = shell("import", str(tmp_path / "bad.json"))
    assert run.code == 2
    assert len(run.err.strip().splitlines()) == 2
    assert shell("export", "Mirela").code == 2


def test_advise_is_the_same_from_file_and_from_store(shell: Shell, athlete: str) -> None:
    text = Path(athlete).read_text()
    advice = shell("advise", given=text.encode()).json
    assert advice["day"] == demo.START.isoformat()
    assert advice["sets"]
    shell("import", athlete)
    exported = json.loads(shell("export", "Mirela").out) | {"today": demo.START.isoformat()}
    assert shell("advise", given=json.dumps(exported).encode()).json == advice


def test_an_invite_is_a_fresh_code_each_time(shell: Shell, athlete: str) -> None:
    shell("import", athlete)
    first, second = shell("invite", "Mirela").json, shell("invite", "Mirela").json
    assert first["code"] != second["code"]
    assert len(first["code"]) == 22
    assert shell("invite", "Okko", "--coach").code == 0


def test_erase_says_what_was_deleted_and_deletes_it(shell: Shell, athlete: str, tmp_path: Path) -> None:
    shell("import", athlete)
    deleted = shell("erase", "Mirela").json["deleted"]
    assert deleted["session"] == 5
    assert shell("export", "Mirela").code == 2
    assert b"Mirela" not in (tmp_path / "club.db").read_bytes()


def test_check_is_content_with_a_fresh_database(shell: Shell) -> None:
    run = shell("check")
    assert run.code == 0
    assert {one["part"] for one in run.json["findings"]} == {"database", "messengers", "clock", "backups"}


def test_check_names_what_is_wrong(shell: Shell, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PLIMSOLL_BACKUPS", str(tmp_path / "none"))
    (tmp_path / "club.db").write_bytes(b"this is no database" * 100)
    run = shell("check")
    assert run.code == 2
    assert {one["part"] for one in run.json["findings"] if one["wrong"]} == {"database", "backups"}
    assert len(run.err.strip().splitlines()) == 2


def test_the_trial_on_a_pipe_is_plain_and_ends_with_its_input() -> None:
    story = "5 5 4 at 7.5\n9\n/next\n/be tobin\n/next\n/be dale\n/next\n/coach\nweek\n/club\n/help\n"
    run = subprocess.run([sys.executable, "-m", "bot", "try"], input=story, text=True, capture_output=True, cwd=ROOT)
    assert (run.returncode, run.stderr) == (0, "")
    assert "Session for Monday 5 October" in run.stdout
    assert "3 sets: 5, 5, 4 with 7.5 kg" in run.stdout
    assert "Next, Wednesday 7 October" in run.stdout
    assert " lb" in run.stdout
    assert "planned sessions done" in run.stdout
    assert "\x1b" not in run.stdout
