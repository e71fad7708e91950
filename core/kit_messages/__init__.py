"""The kit by message: what somebody writes about their plates, chain and bands, shown back before it counts."""

from core.kit_messages.change import KitChange, read_kit
from core.kit_messages.shown import kit_items, kit_phrase

__all__ = ["KitChange", "kit_items", "kit_phrase", "read_kit"]
