"""What a message says: `read(text, context)` in four languages, and the short notation to type it in."""

from core.language.understand import examples
from core.replies.reading import Context, Mode, Reading, Unclear
from core.replies.rendering import render_sets
from core.replies.understanding import read

__all__ = ["Context", "Mode", "Reading", "Unclear", "examples", "read", "render_sets"]
