"""One rack, many athletes: a club night's rota by rounds."""

from core.rack.night import Guest, Room, Rota, Turn, Want, rounds_of
from core.rack.rota import share

__all__ = ["Guest", "Room", "Rota", "Turn", "Want", "rounds_of", "share"]
