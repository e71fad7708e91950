"""A long text in pieces. Lengths are in UTF-16 units, the coarsest count any network uses; pure."""


def units(text: str) -> int:
    """Length in UTF-16 units: an emoji counts two."""
    return len(text) + sum(ord(char) > 0xFFFF for char in text)


def pieces(text: str, limit: int) -> tuple[str, ...]:
    """`text` in messages of at most `limit` units, cut at a line break or else at a space where there is one."""
    found = []
    while units(text) > limit:
        room = _room(text, limit)
        cut = max(text.rfind("\n", 0, room + 1), 0) or max(text.rfind(" ", 0, room + 1), 0) or room
        head, text = text[:cut], text[cut:].lstrip("\n ")
        if head.strip():
            found.append(head)
    return (*found, text) if text.strip() or not found else tuple(found)


def _room(text: str, limit: int) -> int:
    """How many characters of `text` fit into `limit` units."""
    used = 0
    for index, char in enumerate(text):
        used += 2 if ord(char) > 0xFFFF else 1
        if used > limit:
            return index
    return len(text)
