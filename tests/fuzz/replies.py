"""Coverage-guided fuzzing of the reader: no exception, no record from noise, no record over the limits.

`python -m tests.fuzz.replies FOLDER -max_total_time=900`: FOLDER keeps what was found, and starts from it.
Needs `atheris`, which is no dependency of the project.
"""

import sys

import atheris

with atheris.instrument_imports(include=["core.replies"]):
    from core.replies import Context, read

from core.language import LANGUAGES

SESSION = {"sets": [{"reps": 5, "added_g": 7500, "bands": []}] * 3}
LOGGED = [{"reps": 5, "added_g": 10000, "bands": []}, {"reps": 4, "added_g": 10000, "bands": [], "failed": True}]
LABELS = (["amber", "slate"], ["the thin one", "2", "n°2"], ["go", "blue", "light"], [])


def context(choice: int) -> Context:
    """One of many contexts, by the bits of a byte."""
    return Context.from_json(
        {
            "language": LANGUAGES[choice % 4],
            "bands": LABELS[choice // 4 % 4],
            "prescribed": SESSION if choice & 16 else None,
            "logged": LOGGED if choice & 32 else [],
            "bodyweight_g": 72400,
            "today": "2026-10-05",
            "exercises": ["pull_up", "hang", "dip"] if choice & 64 else ["pull_up"],
            "asked": {"about": "pain"} if choice & 128 else None,
        }
    )


def one(data: bytes) -> None:
    """Reads one text; what must hold is asserted."""
    source = atheris.FuzzedDataProvider(data)
    known = context(source.ConsumeIntInRange(0, 255))
    text = source.ConsumeUnicodeNoSurrogates(400)
    reading = read(text, known)
    assert reading == read(text, known)
    reading.to_json()
    assert reading.unclear is None or (not reading.sets and reading.mode == "none")
    assert all(0 <= done.reps <= 50 and (done.added_g or 0) <= 150_000 for done in reading.sets)
    if not any(char.isalnum() for char in text) and not set(text) & set("✅✔☑✓👍👌🆗½¼¾"):
        assert reading.mode == "none", text


if __name__ == "__main__":
    atheris.Setup(sys.argv, one)
    atheris.Fuzz()
