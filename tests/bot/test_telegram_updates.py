"""Payloads written by hand after the official shapes, beside the envelope that each must become."""

import json
from dataclasses import asdict, fields
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.messengers import Envelope
from bot.messengers.telegram_updates import to_envelope

WIRE = Path(__file__).parent.parent / "wire" / "telegram"
CASES = sorted(WIRE.glob("*.json"))
RECEIVED = datetime(2026, 10, 5, 6, 0, tzinfo=UTC)
ME = "plimsoll_test_bot"


def test_payloads_are_found() -> None:
    assert len(CASES) > 40


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_payload_becomes_its_envelope(path: Path) -> None:
    case = json.loads(path.read_text())
    envelope = to_envelope(case["update"], RECEIVED, ME)
    if case["expect"] is None:
        assert envelope is None
        return
    assert envelope is not None
    told = {key: str(value) if key == "kind" else value for key, value in asdict(envelope).items()}
    told["sent"] = envelope.sent.isoformat()
    assert {key: told[key] for key in case["expect"]} == case["expect"]


def test_the_unreadable_is_kept_whole() -> None:
    update = json.loads((WIRE / "bad_text.json").read_text())["update"]
    envelope = to_envelope(update, RECEIVED, ME)
    assert envelope is not None
    assert json.loads(envelope.raw) == update


def test_the_readable_is_not_kept_twice() -> None:
    envelope = to_envelope(json.loads((WIRE / "text.json").read_text())["update"], RECEIVED, ME)
    assert envelope is not None
    assert envelope.raw == ""


def _damaged(value: object) -> st.SearchStrategy[object]:
    junk = st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(), st.just([]), st.just({}))
    if isinstance(value, dict) and value:
        keys = sorted(value)
        return st.one_of(
            junk,
            st.sampled_from(keys).map(lambda gone: {key: value[key] for key in keys if key != gone}),
            st.sampled_from(keys).flatmap(lambda key: _damaged(value[key]).map(lambda new: value | {key: new})),
        )
    return junk


@given(st.sampled_from(CASES).map(lambda path: json.loads(path.read_text())["update"]).flatmap(_damaged))
def test_no_damage_raises_and_all_can_be_stored(update: object) -> None:
    envelope = to_envelope(update, RECEIVED, ME)  # type: ignore[arg-type]
    if envelope is None:
        return
    for field in fields(Envelope):
        value = getattr(envelope, field.name)
        if isinstance(value, str):
            assert "\0" not in value
            value.encode()
        elif isinstance(value, int):
            assert abs(value) < 2**63
