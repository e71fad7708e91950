"""Schema changes, oldest first. Adding one: a file in `versions/`, its number at the end of REVISIONS."""

REVISIONS = ("0001", "0002")
HEAD = REVISIONS[-1]
