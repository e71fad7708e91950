"""Loans of club pieces: what is lent is missing there and present here, and nothing is lent twice."""

from datetime import date

import pytest

from core.kit import Band, Guess, Kind, Kit, Make, Plate, Readings
from core.loans import Loan, at_home, left_of, lend
from core.problems import BadInput

CLUB = Kit(
    pieces=(Plate(1250, 2, face_g=1300), Plate(5000, 2)),
    bands=(
        Band("amber", Guess(18_000)),
        Band("amber knotted", Guess(24_000), of="amber"),
        Band("plum", Guess(8000), 2),
    ),
)
OUT, BACK = date(2026, 10, 5), date(2026, 10, 12)
PLATE = Loan("ines", OUT, 2, Kind.PLATE, 1250, back=BACK)
AMBER = Loan("ines", OUT, label="amber")
PLUM = Loan("tom", OUT, label="plum")


def test_what_is_out_is_missing() -> None:
    left = left_of(CLUB, [PLATE, AMBER, PLUM], OUT)
    assert left.pieces == (Plate(5000, 2),)
    assert left.bands == (Band("plum", Guess(8000), 1),)
    assert left_of(CLUB, [PLATE], BACK) == CLUB
    assert left_of(CLUB, [PLATE], date(2026, 10, 4)) == CLUB


def test_what_is_lent_is_there() -> None:
    own = Kit(pieces=(Plate(2500),), bands=(Band("plum", Guess(7000)),))
    ines = at_home(own, CLUB, [PLATE, AMBER, PLUM], "ines", OUT)
    assert ines.pieces == (Plate(2500), Plate(1250, 2, face_g=1300))
    assert [band.label for band in ines.bands] == ["plum", "amber"]
    tom = at_home(own, CLUB, [PLATE, AMBER, PLUM], "tom", OUT)
    assert tom.bands == (Band("plum", Guess(7000), 2),)


def test_nothing_is_lent_twice() -> None:
    loans = lend(CLUB, (), PLATE)
    with pytest.raises(BadInput, match="0 of that left"):
        lend(CLUB, loans, Loan("tom", OUT, 1, Kind.PLATE, 1250))
    assert len(lend(CLUB, loans, Loan("tom", BACK, 1, Kind.PLATE, 1250))) == 2


@pytest.mark.parametrize("loan", [PLATE, AMBER, PLUM])
def test_kept_as_json(loan: Loan) -> None:
    assert Loan.from_json(loan.to_json()) == loan


def test_somebody_else_s_readings_are_a_guess() -> None:
    club = Kit(bands=(Band("amber", Readings(24_000, 12_000)), Band("made", Make(1_040_000, 30_000, 4500))))
    loans = [Loan("ines", OUT, label="amber"), Loan("ines", OUT, label="made")]
    lent = at_home(Kit(), club, loans, "ines", OUT).bands
    assert [band.known for band in lent] == [Guess(18_000), Make(1_040_000, 30_000, 4500)]
