"""Every code that the engine gives has words, and says them with the numbers it gives."""

import re
from pathlib import Path

import core
from core.language import sentences

ROOT = Path(core.__file__).parent
REASON = re.compile(r'because\(\s*"([a-z_]+)"')
CAUTION = re.compile(r'phrase\(\s*"((?:caution|by|aim|proposal)\.[a-z_]+)"')


def found(pattern: re.Pattern[str]) -> set[str]:
    return {code for path in ROOT.rglob("*.py") for code in pattern.findall(path.read_text("utf-8"))}


def test_every_reason_has_words() -> None:
    codes = {f"reason.{code}" for code in found(REASON)}
    assert len(codes) > 40
    assert codes - set(sentences("en")) == set()


def test_every_caution_has_words() -> None:
    keys = found(CAUTION)
    assert "caution.not_medical" in keys
    assert keys - set(sentences("en")) == set()


def test_no_reason_is_without_a_use() -> None:
    """Words that nothing says are left over from something."""
    codes = {f"reason.{code}" for code in found(REASON)}
    said = {key for key in sentences("en") if key.startswith("reason.") and not key.startswith("reason.left_out_")}
    text = " ".join(path.read_text("utf-8") for path in ROOT.rglob("*.py"))
    unused = {key for key in said - codes if f'"{key.removeprefix("reason.")}"' not in text}
    assert unused == set()
