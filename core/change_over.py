"""The change from a band with plates on the belt to the next lighter band: when, how it will feel, and when back.

Plates on the belt fill the way from one band to the next. At the change the mean over the pull stays, but the lighter
band gives less at the bottom and takes less away on top, so the ends feel different.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from core.bands import Pull, pulls_of
from core.kit import Kit
from core.loading import nearest
from core.phrases import Mass, Phrase, phrase
from core.steps import COARSE, Pulls, band_sets
from core.training import Json

REPS_LESS = 1  # in the first session on the new side
LIKE = 0.05  # pulls within this share of one another are no change of band


@dataclass(frozen=True, slots=True)
class Side:
    """Bands used together with their help in grams: at the dead hang, in the mean, on top."""

    bands: tuple[str, ...]
    hang_g: int
    mean_g: int
    top_g: int


@dataclass(frozen=True, slots=True)
class ChangeOver:
    """From one side with its belt to the next. `hang_g`, `mean_g`, `top_g`: how much harder; below 0 easier."""

    before: Side
    before_added_g: int
    after: Side
    after_added_g: int

    @property
    def hang_g(self) -> int:
        return self._harder(self.before.hang_g, self.after.hang_g)

    @property
    def mean_g(self) -> int:
        return self._harder(self.before.mean_g, self.after.mean_g)

    @property
    def top_g(self) -> int:
        return self._harder(self.before.top_g, self.after.top_g)

    def _harder(self, help_before_g: int, help_after_g: int) -> int:
        return self.after_added_g - help_after_g - (self.before_added_g - help_before_g)

    @property
    def back(self) -> "ChangeOver":
        """The way back, for the button."""
        return ChangeOver(self.after, self.after_added_g, self.before, self.before_added_g)

    def phrase(self) -> Phrase:
        """One sentence: what replaces what, and where it is harder and where easier."""
        return phrase(
            "kit.change_over",
            before=load_phrase(self.before.bands, self.before_added_g),
            after=load_phrase(self.after.bands, self.after_added_g),
            bottom=_feel(self.hang_g),
            top=_feel(self.top_g),
        )

    def to_json(self) -> Json:
        sides = (("before", self.before, self.before_added_g), ("after", self.after, self.after_added_g))
        loads: Json = {name: {"bands": list(side.bands), "added_g": added_g} for name, side, added_g in sides}
        return loads | {"hang_g": self.hang_g, "mean_g": self.mean_g, "top_g": self.top_g, "reps_less": REPS_LESS}


def load_phrase(bands: tuple[str, ...], added_g: int) -> Phrase:
    """Bands and belt in words."""
    if not bands:
        return phrase("kit.free_added", mass=Mass(added_g)) if added_g else phrase("kit.free")
    if added_g:
        return phrase("kit.band_added", bands=bands, mass=Mass(added_g))
    return phrase("kit.band_bare", bands=bands)


def _feel(harder_g: int) -> Phrase:
    if harder_g == 0:
        return phrase("kit.as_before")
    return phrase("kit.harder" if harder_g > 0 else "kit.easier", mass=Mass(abs(harder_g)))


def sides(kit: Kit, pulls: Pulls | None = None) -> tuple[Side, ...]:
    """The sides from the most help to none: pairs only where they help more than any single band.

    `pulls`: mean pulls as believed, which scale the readings at both ends alike.
    """
    known = pulls_of(kit)
    found = [_side(bands, known, {} if pulls is None else pulls) for bands in band_sets(kit)]
    strongest_g = max(side.mean_g for side in found if len(side.bands) < 2)
    kept = [side for side in found if len(side.bands) < 2 or side.mean_g > strongest_g * (1 + LIKE)]
    kept.sort(key=lambda side: (-side.mean_g, -len(side.bands), side.bands))
    return tuple(kept)


def _side(bands: tuple[str, ...], known: Mapping[str, Pull], pulls: Pulls) -> Side:
    hang = mean = top = 0.0
    for label in bands:
        pull = known[label]
        scale = pulls[label][0] / pull.mean_g if label in pulls and pull.mean_g else 1.0
        hang, mean, top = hang + scale * pull.hang_g, mean + scale * pull.mean_g, top + scale * pull.top_g
    return Side(bands, round(hang), round(mean), round(top))


def change_over(kit: Kit, bands: tuple[str, ...], added_g: int, *, pulls: Pulls | None = None) -> ChangeOver | None:
    """From these bands and this belt to the next lighter side, the belt there as near to the same mean as it goes.

    None where nothing is lighter, or the kit has no such bands.
    """
    ladder = sides(kit, pulls)
    here = next((side for side in ladder if side.bands == bands), None)
    if here is None:
        return None
    lighter = next((side for side in ladder if side.mean_g < here.mean_g * (1 - LIKE)), None)
    if lighter is None:
        return None
    left_g = max(added_g - (here.mean_g - lighter.mean_g), 0)
    return ChangeOver(here, added_g, lighter, nearest(left_g, kit))


def change_overs(kit: Kit, *, pulls: Pulls | None = None) -> tuple[ChangeOver, ...]:
    """Every change on the way from the most help to none, each with the belt at which it falls due."""
    found = []
    for here in sides(kit, pulls):
        first = change_over(kit, here.bands, 0, pulls=pulls)
        if first is not None:
            due_g = nearest(here.mean_g - first.after.mean_g, kit)
            change = change_over(kit, here.bands, due_g, pulls=pulls)
            found += [] if change is None else [change]
    return tuple(found)


def side_for(
    kit: Kit, body_g: int, wanted_g: int, current: tuple[str, ...] | None = None, *, pulls: Pulls | None = None
) -> Side:
    """The bands to train on for a wanted system mass: as little help as leaves room for the belt.

    Nobody flips back and forth: a lighter side is taken once `wanted_g` reaches its system mass without a belt, and
    left again only when `wanted_g` falls below that by more than a coarse step.
    """
    ladder = sides(kit, pulls)
    fitting = [place for place, side in enumerate(ladder) if body_g - side.mean_g <= wanted_g]
    best = fitting[-1] if fitting else 0
    here = next((place for place, side in enumerate(ladder) if side.bands == current), None)
    if here is None or best >= here:
        return ladder[best]
    point_g = body_g - ladder[here].mean_g
    return ladder[here] if wanted_g >= point_g * (1 - COARSE) else ladder[best]


def change_ahead(
    kit: Kit, body_g: int, load: tuple[tuple[str, ...], int], next_wanted_g: int, *, pulls: Pulls | None = None
) -> ChangeOver | None:
    """The change that the next session brings if it wants `next_wanted_g`, to be told the session before.

    `load`: (bands, added_g) of now. None where the bands stay, or become more help.
    """
    bands, added_g = load
    ladder = sides(kit, pulls)
    here = next((side for side in ladder if side.bands == bands), None)
    side = side_for(kit, body_g, next_wanted_g, bands, pulls=pulls)
    if here is None or side.mean_g >= here.mean_g:
        return None
    return ChangeOver(here, added_g, side, nearest(max(next_wanted_g - body_g + side.mean_g, 0), kit, body_g))
