import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.messengers import PostButton, Refused
from bot.messengers.pieces import pieces, units
from bot.messengers.telegram_text import TEXT_LIMIT, keyboard


@given(st.text())
def test_units_are_those_of_utf_16(text: str) -> None:
    clean = text.encode("utf-8", "replace").decode()
    assert units(clean) == len(clean.encode("utf-16-le")) // 2


@given(st.text(st.sampled_from("ab 💪\n"), max_size=200), st.integers(2, 30))
def test_pieces_fit_and_lose_nothing_but_space(text: str, limit: int) -> None:
    found = pieces(text, limit)
    assert found
    assert all(units(piece) <= limit for piece in found)
    assert "".join("".join(found).split()) == "".join(text.split())
    if len(found) > 1:
        assert all(piece.strip() for piece in found)


@pytest.mark.parametrize(
    ("text", "limit", "expected"),
    [
        ("one two three", 8, ("one two", "three")),
        ("one\ntwo three", 9, ("one", "two three")),
        ("abcdefgh", 3, ("abc", "def", "gh")),
        ("💪💪💪", 4, ("💪💪", "💪")),
        ("fits", 4, ("fits",)),
        ("", 4, ("",)),
    ],
)
def test_pieces_are_cut_where_a_reader_would(text: str, limit: int, expected: tuple[str, ...]) -> None:
    assert pieces(text, limit) == expected


def test_an_emoji_counts_two_at_the_limit() -> None:
    assert len(pieces("💪" * (TEXT_LIMIT // 2), TEXT_LIMIT)) == 1
    assert len(pieces("💪" * (TEXT_LIMIT // 2) + "a", TEXT_LIMIT)) == 2


def test_short_buttons_stand_beside_each_other() -> None:
    rows = keyboard([PostButton(str(n), str(n)) for n in range(6, 11)] + [PostButton("x" * 25, "y")])["inline_keyboard"]
    assert [len(row) for row in rows] == [5, 1]
    assert rows[0][0] == {"text": "6", "callback_data": "6"}


@pytest.mark.parametrize("token", ["", "ü" * 33, "x" * 65])
def test_a_token_that_cannot_travel_is_refused(token: str) -> None:
    with pytest.raises(Refused, match="1 to 64"):
        keyboard([PostButton("yes", token)])


def test_the_longest_token_passes() -> None:
    assert keyboard([PostButton("yes", "ü" * 32)])
    with pytest.raises(Refused):
        keyboard([PostButton(" ", "t")])
