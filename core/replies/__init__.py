"""What a message says: `read(text, context)` in four languages, and the short notation to type it in."""

from core.language.understand import examples
from core.replies.reading import Context, Mode, Reading, Unclear
from core.replies.rendering import render_sets
from core.replies.understanding import read

VERSION = "2"  # of the grammar: kept beside every reading; old readings are never rewritten

__all__ = ["VERSION", "Context", "Mode", "Reading", "Unclear", "examples", "read", "render_sets"]
