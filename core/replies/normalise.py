"""Characters before words: one spelling for digits, dashes, quotes, spaces and invisible characters.

Decimal digits of any script become ASCII; format characters, variation selectors and skin tones vanish;
control characters and keycaps separate. Nothing here knows a language.
"""

import unicodedata

_QUOTES = dict.fromkeys("'’‘‛ʼʻˈ′`´＇", "'")
_DOUBLE_QUOTES = dict.fromkeys('"“”„‟«»‹›″＂', '"')
_DASHES = dict.fromkeys("-‐‑‒–—―−﹣－⁃", "-")
_TIMES = dict.fromkeys("×✕✖⨯", "x")
_POINTS = {"․": ".", "。": ".", "，": ",", "、": ",", "٫": ".", "؛": ";", "⁄": "/", "∕": "/", "…": "..."}
_LINES = dict.fromkeys("\n\r\x0b\x0c\x85\u2028\u2029", "\n")
_SAME = _QUOTES | _DOUBLE_QUOTES | _DASHES | _TIMES | _POINTS | _LINES
_KEYCAP = "\u20e3"
_QUARTERS = {"¼": ".25", "¾": ".75"}


def normalise(text: str) -> str:
    """`text` with one spelling for each character; its length may change. Linear in its length."""
    out: list[str] = []
    for char in text:
        if char.isascii() and char.isprintable():
            out.append(char)
        elif char in _QUARTERS:
            out.append(_QUARTERS[char] if out and out[-1].isdigit() else f" 0{_QUARTERS[char]}")
        else:
            out.append(_SAME[char] if char in _SAME else _plain(char))
    return "".join(out)


def _plain(char: str) -> str:
    if char == _KEYCAP:
        return " "
    category = unicodedata.category(char)
    if category == "Nd":
        return str(unicodedata.digit(char))
    if category in ("Cf", "Cs", "Co", "Cn") or _is_variant(char):
        return ""
    if category in ("Cc", "Zs", "Zl", "Zp"):
        return " "
    if "\uff01" <= char <= "\uff5e":
        return chr(ord(char) - 0xFEE0)
    return char


def _is_variant(char: str) -> bool:
    """Variation selectors and the skin tones of emoji."""
    return "\ufe00" <= char <= "\ufe0f" or "\U0001f3fb" <= char <= "\U0001f3ff" or "\U000e0100" <= char <= "\U000e01ef"


def fold(word: str) -> str:
    """Lower case without accents: `Fünf` and `funf`, `Été` and `ete` are alike; ß is ss, œ is oe."""
    if word.isascii():
        return word.lower()
    lowered = word.casefold().replace("œ", "oe").replace("æ", "ae").replace("ø", "o")
    return "".join(char for char in unicodedata.normalize("NFD", lowered) if unicodedata.category(char) != "Mn")
