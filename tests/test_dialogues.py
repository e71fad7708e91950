"""Every dialogue comes true, word for word; and a dialogue that lies is caught."""

from pathlib import Path

import pytest

from tests.dialogue import play

FOLDER = Path(__file__).parent / "dialogues"


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.txt")), ids=lambda path: path.stem)
def test_dialogue(path: Path) -> None:
    play(path)


@pytest.mark.parametrize(
    "lie",
    [
        "watch mirela\n07:00 .\nmirela < Something else.\n",  # other words
        "watch mirela\n07:00 .\n",  # a message not written down
        "watch mirela\n06:30 mirela > help\nmirela < …\nmirela < …\n",  # a message that never comes
        "watch tobin\n07:00 .\nmirela < …\n",  # to somebody else
        "gibberish\n",
    ],
)
def test_a_dialogue_that_lies_is_caught(lie: str, tmp_path: Path) -> None:
    story = tmp_path / "lie.txt"
    story.write_text(lie)
    with pytest.raises(AssertionError):
        play(story)
