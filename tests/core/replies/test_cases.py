"""Tables of cases: `blind_*` labelled by people who had not seen the grammar, `own_*` by its author, rule by rule."""

import json
from pathlib import Path
from typing import Any

import pytest

from core.replies import Context, Reading, read

CASES = Path(__file__).parent / "cases"
LANGUAGES = ("en", "de", "es", "fr")
PLAIN = ("sets", "mode", "skipped", "bodyweight_g", "pain")
FURTHER = ("day", "move_to", "away", "healed", "effort", "choice")


def rows(name: str) -> list[dict[str, Any]]:
    """The cases of one file, one a line."""
    return [json.loads(line) for line in (CASES / name).read_text(encoding="utf-8").splitlines() if line.strip()]


def differences(expected: dict[str, Any], reading: Reading) -> dict[str, Any]:
    """What a reading says otherwise than expected: field -> (expected, read)."""
    said = reading.to_json()
    if bool(expected.get("unclear")) != (reading.unclear is not None):
        return {"unclear": (expected.get("unclear"), said["unclear"])}
    if expected.get("unclear"):
        kept = ("skipped", "bodyweight_g", "pain")
        return {
            name: (expected[name], said[name]) for name in kept if expected.get(name) and expected[name] != said[name]
        }
    wrong = {name: (expected[name], said[name]) for name in PLAIN if name in expected and expected[name] != said[name]}
    return wrong | {
        name: (expected.get(name), said.get(name)) for name in FURTHER if expected.get(name) != said.get(name)
    }


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("kind", ["blind", "own"])
def test_every_case_reads_as_labelled(kind: str, language: str) -> None:
    wrong = {}
    for row in rows(f"{kind}_{language}.jsonl"):
        reading = read(row["text"], Context.from_json(row["context"]))
        if found := differences(row["expect"], reading):
            wrong[row["id"], row["text"][:80]] = found
    assert not wrong


def test_a_wrong_label_is_noticed() -> None:
    row = rows("blind_en.jsonl")[0]
    reading = read(row["text"], Context.from_json(row["context"]))
    assert not differences(row["expect"], reading)
    assert differences(row["expect"] | {"mode": "replace"}, reading)
    assert differences(row["expect"] | {"unclear": True}, reading)
    assert differences(row["expect"] | {"choice": 3}, reading)
