"""Events written by hand after the specification, beside the envelope that each must become."""

import json
from dataclasses import asdict, fields
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.messengers import Envelope
from bot.messengers.matrix_events import Around, original_of, to_envelope

WIRE = Path(__file__).parent.parent.parent / "wire" / "matrix"
CASES = {path.stem: json.loads(path.read_text()) for path in sorted(WIRE.glob("*.json"))}
RECEIVED = datetime(2026, 10, 5, 6, 0, tzinfo=UTC)
ME = "@plimsoll:club.example"


def around(case: dict[str, object]) -> Around:
    told: dict[str, bool] = {"direct": True} | case.get("around", {})  # type: ignore[operator]
    return Around("!r:club.example", ME, RECEIVED, names={"@ines:club.example": "Ines Q."}, **told)


def test_events_are_found() -> None:
    assert len(CASES) > 60


@pytest.mark.parametrize("name", CASES)
def test_event_becomes_its_envelope(name: str) -> None:
    case = CASES[name]
    envelope = to_envelope(case["event"], around(case), case.get("original"))
    if case["expect"] is None:
        assert envelope is None
        return
    assert envelope is not None
    told = {key: str(value) if key == "kind" else value for key, value in asdict(envelope).items()}
    told["sent"] = envelope.sent.isoformat()
    assert {key: told[key] for key in case["expect"]} == case["expect"]
    assert bool(envelope.raw) == (envelope.kind == "unreadable")


@pytest.mark.parametrize("name", CASES)
def test_an_original_is_asked_for_only_where_it_decides(name: str) -> None:
    asked = original_of(CASES[name]["event"])
    assert (asked is not None) == name.startswith(("edit", "redacted", "bad_edit"))


def test_the_unreadable_is_kept_whole() -> None:
    case = CASES["bad_body_is_a_list"]
    envelope = to_envelope(case["event"], around(case))
    assert envelope is not None
    assert json.loads(envelope.raw) == case["event"]


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


@given(
    st.sampled_from(sorted(CASES)).flatmap(
        lambda name: st.tuples(
            _damaged(CASES[name]["event"]), st.one_of(st.none(), _damaged(CASES[name].get("original", {})))
        )
    )
)
def test_no_damage_raises_and_all_can_be_stored(damaged: tuple[object, object]) -> None:
    event, original = damaged
    if isinstance(event, dict):
        original_of(event)
    envelope = to_envelope(event, around({}), original)  # type: ignore[arg-type]
    if envelope is None:
        return
    for field in fields(Envelope):
        value = getattr(envelope, field.name)
        if isinstance(value, str):
            assert "\0" not in value
            value.encode()
        elif isinstance(value, int):
            assert abs(value) < 2**63
