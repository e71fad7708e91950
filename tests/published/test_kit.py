"""Kit against what is printed elsewhere. Each source beside its check."""

import pytest

from core.kit import Band, Kit, Plate, Readings, kit_from_toml, kit_to_json
from core.steps import steps


@pytest.mark.parametrize(
    ("pounds", "kilograms"),
    [(2.5, 1.134), (5, 2.268), (10, 4.536), (25, 11.340), (35, 15.876), (45, 20.412)],
)
def test_pound_plates(pounds: float, kilograms: float) -> None:
    """1 lb = .45359237 kg exactly (international yard and pound agreement, 1959); +-1 g, and back to the pound."""
    kit = kit_from_toml(f'unit = "lb"\n[[plate]]\nmass = {pounds}')
    assert kit.pieces[0].mass_g == pytest.approx(1000 * kilograms, abs=1)
    assert kit_to_json(kit)["plate"][0]["mass"] == pounds


def test_competition_discs_are_within_a_small_step() -> None:
    """IPF technical rules (from memory): a disc is within .25 % of its face, 20 kg is 19.95-20.05: both are kept."""
    kit = kit_from_toml("[[plate]]\nmass = 19.95\nface = 20\n[[plate]]\nmass = 20.05\nface = 20")
    assert all(abs(piece.mass_g - 20_000) <= 0.0025 * 20_000 for piece in kit.pieces)
    assert [piece.face_g for piece in kit.pieces] == [20_000, 20_000]
    assert [step.added_g for step in steps(kit, 80_000)] == [0, 19_950, 20_050, 40_000]


def test_system_mass() -> None:
    """By algebra: body + belt - mean assistance. A 62 kg athlete with 20 kg net help moves 42 kg."""
    kit = Kit(pieces=(Plate(7500),), bands=(Band("amber", Readings(27_000, 13_000)),))
    found = {(step.bands, step.added_g): step.system_g for step in steps(kit, 62_000)}
    assert found == {((), 0): 62_000, ((), 7500): 69_500, (("amber",), 0): 42_000, (("amber",), 7500): 49_500}
