"""Draws one season: the true 1RM, the estimate with its interval, and what was lifted."""

import io
from typing import TYPE_CHECKING

from core.simulate.picture import SeasonPicture

if TYPE_CHECKING:
    from matplotlib.axes import Axes

SIZE_INCHES = (9.0, 4.5)
DOTS_PER_INCH = 110


def season_png(picture: SeasonPicture) -> bytes:
    """The picture as PNG; slow (matplotlib), so off the event loop."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=SIZE_INCHES, dpi=DOTS_PER_INCH, layout="constrained")
    FigureCanvasAgg(figure)
    axes = figure.add_subplot()
    _draw(axes, picture)
    out = io.BytesIO()
    figure.savefig(out, format="png")
    return out.getvalue()


def _draw(axes: "Axes", picture: SeasonPicture) -> None:
    known = [place for place, middle in enumerate(picture.middle) if middle is not None]
    days = [picture.days[place] for place in known]
    low, middle, high = ([line[place] for place in known] for line in (picture.low, picture.middle, picture.high))
    axes.fill_between(days, low, high, alpha=0.25, label="estimate, 80 %", color="tab:blue")  # type: ignore[arg-type]
    axes.plot(days, middle, color="tab:blue", label="estimate")  # type: ignore[arg-type]
    axes.plot(picture.days, picture.true, color="black", linestyle="--", label="true 1RM")
    axes.plot(picture.days, picture.body, color="grey", linewidth=0.8, label="body mass")
    for flag, colour, label in ((False, "tab:green", "heaviest set"), (True, "tab:red", "with a failed set")):
        chosen = [place for place, failed in enumerate(picture.failed) if failed is flag]
        axes.scatter(
            [picture.days[place] for place in chosen],
            [picture.load[place] for place in chosen],
            s=16,
            color=colour,
            label=label,
        )
    axes.set_title(picture.title)
    axes.set_xlabel("day")
    axes.set_ylabel("system mass, kg")
    axes.legend(loc="upper left", fontsize="small", ncols=2)
