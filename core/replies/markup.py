"""Code, links and emoticons: their numbers are nothing that somebody trained."""

from core.replies.items import Noise
from core.replies.view import Found, View

_LONGEST = 40  # terms looked ahead for a closing mark
_LINKS = frozenset(("http", "https", "www"))


def markup(view: View) -> Found | None:
    """`{{7*7}}`, `<b>`, `alert(1)`, `1=1`, `https://…/5/5`, `<3`."""
    if view.mark(0, "{"):
        return _enclosed(view, "}")
    if view.mark(0, "<") and not view.term(1).gap:
        return _angled(view)
    if view.mark(0, "(") and not view.term().gap and view.term(-1).unknown and not view.term(1).gap:
        return _enclosed(view, ")")
    if view.term().text in _LINKS and view.mark(1, ":", ".") and not view.term(1).gap:
        return Noise("link"), _word_end(view)
    same = view.number() is not None and view.number() == view.number(2) and view.mark(1, "=")
    return (Noise("markup"), 3) if same and not view.term(1).gap else None


def _angled(view: View) -> Found | None:
    """A tag or a heart."""
    if view.number(1) is not None:
        return (Noise("emoticon"), 2) if view.term(1).text == "3" else None
    return _enclosed(view, ">") if view.mark(1, "/") or not view.term(1).mark else None


def _enclosed(view: View, close: str) -> Found | None:
    """Up to the last of the closing marks in a row."""
    for ahead in range(1, _LONGEST):
        if view.mark(ahead, close) and not view.mark(ahead + 1, close):
            return Noise("markup"), ahead + 1
    return None


def _word_end(view: View) -> int:
    ahead = 1
    while ahead < _LONGEST and not view.term(ahead).gap:
        ahead += 1
    return ahead
