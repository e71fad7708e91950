"""The kit: what there is to hang, wear and stand in, and its file."""

from core.kit.pieces import (
    KINDS,
    Anchor,
    Band,
    Belt,
    Guess,
    HangTest,
    Hitch,
    Kettlebell,
    Kind,
    Kit,
    Known,
    Make,
    Piece,
    Plate,
    Reach,
    Readings,
    Support,
    Vest,
)
from core.kit.reading import kit_from_json, kit_from_toml
from core.kit.writing import kit_to_json

__all__ = [
    "KINDS",
    "Anchor",
    "Band",
    "Belt",
    "Guess",
    "HangTest",
    "Hitch",
    "Kettlebell",
    "Kind",
    "Kit",
    "Known",
    "Make",
    "Piece",
    "Plate",
    "Reach",
    "Readings",
    "Support",
    "Vest",
    "kit_from_json",
    "kit_from_toml",
    "kit_to_json",
]
