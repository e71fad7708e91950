"""The hang picture: on the left who hangs from what, on the right the chain with its pieces in the order they go on."""

from itertools import groupby
from typing import Any

from matplotlib.axes import Axes
from matplotlib.patches import Circle, Ellipse, FancyBboxPatch, PathPatch
from matplotlib.path import Path

from bot.pictures.sheet import ACCENT, DARK, INK, MIDDLE, PAPER, WIDTH, blank, png, short, words
from core.training import Json

HEIGHT = 520
BAR_Y = 418
CHAIN_X, CHAIN_TOP, CHAIN_END = 304, 400, 48
MOST_DRAWN = 8  # more pieces are drawn alike ones together
BAND_INKS = ((ACCENT, "solid"), (INK, (0, (3, 1.2))))


def draw_hang(spec: Json) -> bytes:
    """PNG of a `core.hang_picture` specification, 800 pixels wide."""
    figure, axes = blank(HEIGHT)
    shift = 0 if spec["chain"] else -100  # with nothing on the right, the left moves to the middle
    axes.set_xlim(shift, shift + WIDTH)
    words(
        axes, shift + WIDTH / 2, HEIGHT - 34, spec["title"], size=17, weight="bold", color=INK, ha="center", va="center"
    )
    _bar(axes)
    _body(axes, spec["worn"])
    for place, band in enumerate(spec["bands"][:2]):
        _band(axes, band, place)
    if spec["chain"]:
        _small_chain(axes)
        _chain(axes, _rows(spec["chain"]))
    _legend(axes, spec)
    return png(figure)


def _line(axes: Axes, xs: tuple[float, ...], ys: tuple[float, ...], width: float, ink: str, **style: Any) -> None:
    axes.plot(xs, ys, linewidth=width, color=ink, solid_capstyle="round", solid_joinstyle="round", **style)


def _bar(axes: Axes) -> None:
    _line(axes, (14, 186), (BAR_Y, BAR_Y), 7, INK, zorder=3)
    for x in (14, 186):
        _line(axes, (x, x), (BAR_Y, BAR_Y + 30), 4, INK)


def _body(axes: Axes, worn: str | None) -> None:
    """Somebody at the dead hang; a vest is a dark torso with its label beside."""
    limb = {"zorder": 2}
    _line(axes, (62, 72, 84), (BAR_Y, 372, 338), 11, MIDDLE, **limb)
    _line(axes, (122, 112, 100), (BAR_Y, 372, 338), 11, MIDDLE, **limb)
    axes.add_patch(Circle((92, 372), 19, facecolor=MIDDLE, edgecolor=PAPER, linewidth=1.5, zorder=3))
    _line(axes, (92, 92), (328, 248), 30, DARK if worn else MIDDLE, **limb)
    _line(axes, (85, 80, 82), (236, 170, 104), 13, MIDDLE, **limb)
    _line(axes, (99, 106, 104), (236, 170, 104), 13, MIDDLE, **limb)
    _line(axes, (82, 72), (102, 99), 8, MIDDLE, **limb)
    _line(axes, (104, 116), (102, 99), 8, MIDDLE, **limb)
    if worn:
        _line(axes, (92, 92), (316, 262), 2.5, PAPER, zorder=3)


def _band(axes: Axes, band: Json, place: int) -> None:
    """From its hitch on the bar down to the foot or knee; the second one dashed and on the other side."""
    ink, dash = BAND_INKS[place]
    side = 1 if place == 0 else -1
    top_x = 92 + side * 56
    right_x, end_y = (114, 94) if band["support"] == "foot" else (112, 168)
    end_x = right_x if side == 1 else 184 - right_x
    strands = (-5, 5) if band["hitch"] == "fold" else (-2.6, 2.6)
    for shift in strands:
        start, end = (top_x + shift, BAR_Y - 12), (end_x + shift, end_y)
        bow = (top_x + shift, (BAR_Y + end_y) / 2)
        curve = Path((start, bow, end), (Path.MOVETO, Path.CURVE3, Path.CURVE3))
        axes.add_patch(PathPatch(curve, facecolor="none", edgecolor=ink, linewidth=3.2, linestyle=dash, zorder=4))
    axes.add_patch(Ellipse((end_x - side * 3, end_y), 22, 9, facecolor="none", edgecolor=ink, linewidth=3.2, zorder=5))
    for shift in () if band["hitch"] == "fold" else (-2.6, 2.6):
        axes.plot((top_x + shift,) * 2, (BAR_Y - 14, BAR_Y - 10), linewidth=3.2, color=ink, zorder=4)
    _hitch(axes, band["hitch"], top_x, ink)


def _hitch(axes: Axes, hitch: str, x: float, ink: str) -> None:
    """One wrap for each time the loop goes through itself; a fold lies over the bar; an open one hangs on a hook."""
    shifts = {"once": (0,), "twice": (-7, 7), "fold": (-5, 5), "open": ()}[hitch]
    for shift in shifts:
        axes.add_patch(Ellipse((x + shift, BAR_Y), 9, 24, facecolor="none", edgecolor=ink, linewidth=3.2, zorder=5))
    if hitch in ("once", "twice"):
        _line(axes, (x - 9, x + 9), (BAR_Y - 13, BAR_Y - 13), 4.5, ink, zorder=5)
    if hitch == "open":
        axes.add_patch(Ellipse((x, BAR_Y - 2), 12, 20, facecolor="none", edgecolor=DARK, linewidth=3, zorder=5))


def _small_chain(axes: Axes) -> None:
    """On the body: the belt, the chain between the legs, and a mark for the load; drawn large on the right."""
    _line(axes, (76, 108), (246, 246), 6, INK, zorder=5)
    axes.plot((82, 92, 102), (244, 196, 244), linewidth=2.4, color=INK, linestyle=(0, (1.4, 0.9)), zorder=5)
    axes.add_patch(FancyBboxPatch((80, 172), 24, 20, boxstyle="round,pad=1,rounding_size=4", facecolor=INK,
                                  edgecolor=PAPER, linewidth=1.2, zorder=6))  # fmt: skip


def _rows(chain: list[Json]) -> list[Json]:
    """A row a piece; where there are many, a row for neighbours that are alike."""
    if len(chain) <= MOST_DRAWN:
        return chain
    rows = []
    for _, group in groupby(chain, key=lambda piece: (piece["kind"], piece["label"])):
        alike = list(group)
        label = alike[0]["label"] if len(alike) == 1 else f"{len(alike)} × {alike[0]['label']}"
        rows.append(alike[0] | {"label": label})
    return rows


def _chain(axes: Axes, rows: list[Json]) -> None:
    """The chain hangs from the belt; the pieces below one another, the first to go on uppermost."""
    step = min(62.0, (CHAIN_TOP - CHAIN_END - 26) / len(rows))
    _line(axes, (CHAIN_X - 42, CHAIN_X + 42), (CHAIN_TOP + 14, CHAIN_TOP + 14), 11, INK)
    _links(axes, CHAIN_TOP + 6, CHAIN_TOP - 26 - step * len(rows) + step / 2)
    for number, row in enumerate(rows, 1):
        y = CHAIN_TOP - 22 - step * (number - 0.5)
        words(axes, 212, y, str(number), size=11, color=DARK, ha="center", va="center")
        _piece(axes, row, y, min(step - 6, 46))


def _links(axes: Axes, top: float, end: float) -> None:
    y, upright = top, True
    while y > end:
        axes.add_patch(Ellipse((CHAIN_X, y), 7 if upright else 3.4, 13, facecolor=PAPER, edgecolor=DARK, linewidth=1.8))
        y, upright = y - 9.5, not upright


def _piece(axes: Axes, row: Json, y: float, height: float) -> None:
    bell = row["kind"] == "kettlebell"
    width = 126 if bell else 100 + 60 * row["size"]
    body = height * (0.74 if bell else 1.0)
    middle = y - (height - body) / 2
    if bell:
        axes.add_patch(Ellipse((CHAIN_X, middle + body / 2), width * 0.36, height * 0.5, facecolor=PAPER,
                               edgecolor=DARK, linewidth=5, zorder=4))  # fmt: skip
    corner = body / 2 - 1 if bell else 5
    axes.add_patch(FancyBboxPatch((CHAIN_X - width / 2, middle - body / 2), width, body, zorder=5, linewidth=1.6,
                                  boxstyle=f"round,pad=0,rounding_size={corner}", edgecolor=PAPER,
                                  facecolor=DARK if bell else INK))  # fmt: skip
    label = short(row["label"])
    size = min(14.0, height * 0.42, (width - 12) / (0.9 * len(label)))
    words(axes, CHAIN_X, middle, label, size=size, weight="bold", color=PAPER, ha="center", va="center", zorder=6)


def _legend(axes: Axes, spec: Json) -> None:
    """Names of what the left side shows: each band by its ink, the vest."""
    y = 62.0
    for place, band in enumerate(spec["bands"][:2]):
        ink, dash = BAND_INKS[place]
        axes.plot((20, 52), (y, y), linewidth=4.5, color=ink, linestyle=dash)
        words(axes, 60, y, short(band["label"]), size=12, color=INK, va="center")
        y -= 24
    if spec["worn"]:
        axes.add_patch(FancyBboxPatch((24, y - 6), 22, 12, boxstyle="round,pad=1,rounding_size=3", facecolor=DARK))
        words(axes, 60, y, spec["worn"], size=12, color=INK, va="center")
