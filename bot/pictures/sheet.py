"""A blank sheet of phone width and the few inks of all pictures: told apart by lightness, not by hue."""

from io import BytesIO
from typing import Any

from matplotlib.axes import Axes
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

WIDTH = 400  # points of the sheet are pixels at this width; the PNG has twice as many
DOTS = 200

INK = "#1d2127"  # lines, heavy things, words
DARK = "#3a4350"
MIDDLE = "#8b95a3"
PALE = "#d5dae1"
PAPER = "#ffffff"
ACCENT = "#0b5cad"  # dark enough to stand out in grey as well


def blank(height: int) -> tuple[Figure, Axes]:
    """A sheet of `WIDTH` x `height`, y upward, without axes."""
    figure = Figure(figsize=(WIDTH / 100, height / 100), dpi=DOTS, facecolor=PAPER)
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, WIDTH)
    axes.set_ylim(0, height)
    axes.set_axis_off()
    return figure, axes


def words(axes: Axes, x: float, y: float, text: str, **style: Any) -> None:
    """Text as it is: a name with dollar signs is no formula."""
    axes.text(x, y, text, parse_math=False, **style)


def short(text: str, letters: int = 16) -> str:
    """At most so many letters, the rest an ellipsis."""
    return text if len(text) <= letters else f"{text[: letters - 1].rstrip()}…"


def png(figure: Figure) -> bytes:
    target = BytesIO()
    figure.savefig(target, format="png", metadata={"Software": None})
    return target.getvalue()
