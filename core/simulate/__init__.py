"""Seasons of virtual athletes whose truth follows other equations than the engine's; pure given a seed."""
