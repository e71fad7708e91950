"""Every step a kit makes: bands x belt loads in one order of system mass, with the doubt that the bands leave."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, pairwise
from math import hypot
from operator import itemgetter
from typing import NamedTuple

from core.bands import Z80, Pull, pulls_of
from core.kit import Band, Kit
from core.loading import hangable
from core.problems import refuse
from core.training import Json

COARSE = 0.025  # a gap of more than this share of system mass is named; practice
MOST_BODY_G = 500_000
MOST_STEPS = 1_000_000
Pulls = Mapping[str, tuple[int, int, int]]  # label -> mean pull as believed and its 80 % interval, in grams


class Step(NamedTuple):
    """One way to train. `assist_g`: mean assistance reckoned with; `stated_g`: by the kit's own readings alone.

    `low_g` to `high_g`: 80 % interval of the system mass, from what is uncertain about the bands.
    """

    bands: tuple[str, ...]
    added_g: int
    system_g: int
    assist_g: int
    low_g: int
    high_g: int
    stated_g: int

    def to_json(self) -> Json:
        """The contract's keys, and `stated_g` where the pull that is believed is another."""
        keys = ("added_g", "system_g", "assist_g", "low_g", "high_g")
        shown: Json = {"bands": list(self.bands)} | {key: getattr(self, key) for key in keys}
        return shown if self.stated_g == self.assist_g else shown | {"stated_g": self.stated_g}


SYSTEM = Step._fields.index("system_g")


@dataclass(frozen=True, slots=True)
class Help:
    """What a set of bands takes off: mean assistance with its 80 % interval, and by the kit's readings alone."""

    bands: tuple[str, ...]
    assist_g: int
    low_g: int
    high_g: int
    stated_g: int


@dataclass(frozen=True, slots=True)
class Gap:
    """Two neighbouring steps more than `COARSE` apart; `share` of the lower one's system mass."""

    below: Step
    above: Step

    @property
    def share(self) -> float:
        return (self.above.system_g - self.below.system_g) / self.below.system_g


def steps(kit: Kit, bodyweight_g: int, *, pulls: Pulls | None = None) -> tuple[Step, ...]:
    """Every step, sorted by system mass, then fewer bands, then the lighter load.

    `pulls`: mean pulls as the engine believes them, in place of the kit's. Raises `BadInput`: a body mass that
    nobody has, more than the anchor takes, or a kit of more than `MOST_STEPS`.
    """
    if not 0 < bodyweight_g <= MOST_BODY_G:
        raise refuse("body weight", "nobody weighs that", f"give one from 1 to {MOST_BODY_G // 1000} kg")
    loads = hangable(kit, bodyweight_g)
    count = len(loads) * len(helps(kit, _frozen(pulls)))
    if count > MOST_STEPS:
        raise refuse("steps", f"this kit makes {count} of them", "say how many pieces the chain takes, or list fewer")
    found = [step for help_ in helps(kit, _frozen(pulls)) for step in _with(help_, bodyweight_g, loads)]
    return tuple(sorted(found, key=itemgetter(SYSTEM)))  # a stable sort: equals stay in the order of `helps`


def _frozen(pulls: Pulls | None) -> tuple[tuple[str, tuple[int, int, int]], ...]:
    return () if pulls is None else tuple(sorted(pulls.items()))


@lru_cache(maxsize=256)
def helps(kit: Kit, pulls: tuple[tuple[str, tuple[int, int, int]], ...] = ()) -> tuple[Help, ...]:
    """No band, every band by its label, and every pair that may be used together."""
    stated = pulls_of(kit)
    believed = {label: _interval(pull) for label, pull in stated.items()} | dict(pulls)
    ranked = sorted(band_sets(kit), key=lambda bands: (len(bands), bands))
    return tuple(_help(bands, stated, believed) for bands in ranked)


def band_sets(kit: Kit) -> Iterator[tuple[str, ...]]:
    """What can be stood in at once, labels sorted: two of one label if there are two; never two set-ups of one band."""
    yield ()
    for band in kit.bands:
        yield (band.label,)
    for band in kit.bands:
        if _there_are_two(kit, band):
            yield (band.label, band.label)
    for one, other in combinations(kit.bands, 2):
        if kit.rubber(one) != kit.rubber(other):
            yield tuple(sorted((one.label, other.label)))


def _there_are_two(kit: Kit, band: Band) -> bool:
    origin = kit.band(kit.rubber(band))
    return band.count >= 2 and origin is not None and origin.count >= 2


def _interval(pull: Pull) -> tuple[float, float, float]:
    half = Z80 * pull.spread * pull.mean_g
    return pull.mean_g, pull.mean_g - half, pull.mean_g + half


def _help(
    bands: tuple[str, ...], stated: Mapping[str, Pull], believed: Mapping[str, tuple[float, float, float]]
) -> Help:
    """Unlike bands err independently of one another, two of one label alike."""
    means, lows, highs = zip(*(believed[label] for label in bands), strict=True) if bands else ((), (), ())
    together = sum if len(set(bands)) < len(bands) else hypot_of
    mean = sum(means)
    below = together([mean - low for mean, low in zip(means, lows, strict=True)])
    above = together([high - mean for mean, high in zip(means, highs, strict=True)])
    stated_g = sum(stated[label].mean_g for label in bands)
    return Help(bands, round(mean), round(mean - below), round(mean + above), round(stated_g))


def hypot_of(lengths: Sequence[float]) -> float:
    return hypot(*lengths)


def _with(help_: Help, body_g: int, loads: Sequence[int]) -> Iterator[Step]:
    bare_g = body_g - help_.assist_g
    down, up = help_.high_g - help_.assist_g, help_.assist_g - help_.low_g
    bands, assist_g, stated_g = help_.bands, help_.assist_g, help_.stated_g
    for added_g in loads[bisect_right(loads, -bare_g) :]:
        system_g = bare_g + added_g
        yield Step(bands, added_g, system_g, assist_g, max(system_g - down, 0), system_g + up, stated_g)


def next_up(ladder: Sequence[Step], system_g: int) -> Step | None:
    """The first step heavier than `system_g`, None where there is none."""
    place = bisect_right(ladder, system_g, key=lambda step: step.system_g)
    return ladder[place] if place < len(ladder) else None


def next_down(ladder: Sequence[Step], system_g: int) -> Step | None:
    """The simplest of the heaviest steps lighter than `system_g`, None where there is none."""
    place = bisect_left(ladder, system_g, key=lambda step: step.system_g)
    if place == 0:
        return None
    return ladder[bisect_left(ladder, ladder[place - 1].system_g, key=lambda step: step.system_g)]


def nearest_step(ladder: Sequence[Step], system_g: int) -> Step:
    """The step next to `system_g`, the lighter of two. Raises `BadInput` below what the strongest bands leave."""
    if not ladder:
        raise refuse("steps", "no step leaves anything to pull", "add a lighter band, or do rows and hangs")
    if system_g < ladder[0].system_g * (1 - COARSE):
        raise refuse(
            "steps", "that load is below the lightest step of this kit", "add a stronger band, or do negatives"
        )
    below, above = next_down(ladder, system_g + 1), next_up(ladder, system_g)
    around = [step for step in (below, above) if step is not None]
    return min(around, key=lambda step: (abs(step.system_g - system_g), step.system_g))


def gaps(ladder: Sequence[Step], low_g: int = 0, high_g: int = 2 * MOST_BODY_G) -> tuple[Gap, ...]:
    """Neighbours more than `COARSE` apart that touch the range from `low_g` to `high_g`, the widest first."""
    found = []
    for below, above in pairwise(ladder):
        coarse = above.system_g - below.system_g > COARSE * below.system_g
        if coarse and above.system_g > low_g and below.system_g < high_g:
            found.append(Gap(below, above))
    return tuple(sorted(found, key=lambda gap: (-gap.share, gap.below.system_g)))
