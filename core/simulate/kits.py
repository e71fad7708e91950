"""The kits of the simulation, as in the athlete file, and the rungs that each of them makes."""

from dataclasses import dataclass
from typing import Any

Json = dict[str, Any]


def _plates(*pairs: tuple[float, int]) -> list[Json]:
    return [{"mass": mass, "count": count} for mass, count in pairs]


BELT: Json = {"max_pieces": 7}
BANDS: tuple[tuple[str, float, float], ...] = (
    ("amber", 44.0, 22.0),
    ("slate", 30.0, 15.0),
    ("fern", 20.0, 10.0),
    ("plum", 12.0, 6.0),
)
BAND_LIST: list[Json] = [{"label": label, "hang": hang, "top": top, "count": 1} for label, hang, top in BANDS]
KITS: dict[str, Json] = {
    "micro": {"unit": "kg", "belt": BELT, "plate": _plates((0.5, 2), (1.25, 2), (2.5, 2), (5, 2), (10, 2), (20, 1))},
    "coarse": {"unit": "kg", "belt": BELT, "plate": _plates((2.5, 1), (5, 1), (10, 1), (20, 1))},
    "bands": {"unit": "kg", "belt": BELT, "plate": _plates((1.25, 2), (2.5, 2), (5, 1)), "band": BAND_LIST},
}
# 1RM over body mass of those who come with such a kit.
RATIOS: dict[str, tuple[float, float]] = {"micro": (1.12, 1.65), "coarse": (1.12, 1.65), "bands": (0.66, 1.02)}


@dataclass(frozen=True, slots=True, order=True)
class Rung:
    """A load that the kit makes, by what it does to the system mass."""

    change_g: int
    added_g: int
    bands: tuple[str, ...]


def stated_pulls(kit: Json) -> dict[str, float]:
    """Mean pull of each band in grams, as the kit states it."""
    return {one["label"]: 500.0 * (one["hang"] + one["top"]) for one in kit.get("band", ())}


def rungs(kit: Json) -> tuple[Rung, ...]:
    """Every plate sum alone and with each single band, lightest first; kilograms."""
    sums = {0}
    for plate in kit["plate"]:
        grams = round(plate["mass"] * 1000)
        sums = {base + grams * n for base in sums for n in range(plate["count"] + 1)}
    pulls: dict[tuple[str, ...], float] = {(): 0.0} | {(label,): pull for label, pull in stated_pulls(kit).items()}
    found = [Rung(round(added - pull), added, bands) for bands, pull in pulls.items() for added in sums]
    return tuple(sorted(found))
