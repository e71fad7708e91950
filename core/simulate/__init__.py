"""Seasons of virtual athletes whose truth follows other equations than the engine's; pure given a seed."""

from core.simulate.report import Report, Row, run
from core.simulate.season import Season, season

__all__ = ["Report", "Row", "Season", "run", "season"]
