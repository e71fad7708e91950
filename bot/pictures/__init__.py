"""Pictures from specifications: `draw(spec)` gives a PNG. One module a picture; a spec names its own under `picture`.

Drawing takes a tenth of a second and more, so it belongs on a thread. The drawing library is loaded at the first
picture, not at import.
"""

from collections.abc import Callable

from core.training import Json


def draw(spec: Json) -> bytes:
    """The picture as PNG bytes. Raises `KeyError` for a kind that nobody draws: a slip of ours."""
    return _PAINTERS[spec["picture"]](spec)


def _hang(spec: Json) -> bytes:
    from bot.pictures.hang import draw_hang

    return draw_hang(spec)


_PAINTERS: dict[str, Callable[[Json], bytes]] = {"hang": _hang}
