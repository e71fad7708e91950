"""The hang picture: its specification, its words, and that the drawing follows them."""

import subprocess
import sys
from io import BytesIO

import pytest
from PIL import Image

from bot.pictures import draw
from bot.pictures.sheet import ACCENT, DARK, INK, MIDDLE, PAPER
from core.hang_picture import bands_of, changed, hang_picture, hang_words
from core.kit import Band, Hitch, Kettlebell, Kit, Plate, Readings, Support, Vest
from core.language import LANGUAGES, render
from core.loading import HungSet, load
from core.training import Json
from core.units import Unit

KIT = Kit(
    pieces=(Plate(10_000), Plate(4930, 2, face_g=5000), Plate(11_340, unit=Unit.LB), Kettlebell(16_000), Vest(12_000)),
    bands=(
        Band("amber", Readings(24_000, 12_000)),
        Band("amber knotted", Readings(30_000, 16_000), of="amber", hitch=Hitch.TWICE),
        Band("slate", Readings(16_000, 8_000), support=Support.KNEE),
    ),
)


def hung(target_g: int) -> HungSet:
    return load([target_g], KIT).sets[0]


def spec(target_g: int, *labels: str) -> Json:
    return hang_picture(hung(target_g), bands_of(KIT, labels), "en", Unit.KG)


def image(one: Json) -> Image.Image:
    return Image.open(BytesIO(draw(one)))


def test_what_is_drawn_and_in_which_order() -> None:
    """36.93 kg: the bell, the plate, a plate stamped 5 and 5 as often as it hangs; the vest is worn."""
    both = spec(16_000 + 10_000 + 2 * 4930 + 12_000, "amber", "slate")
    assert [piece["label"] for piece in both["chain"]] == ["bell 16 kg", "10 kg", "5 kg", "5 kg"]
    assert [piece["size"] for piece in both["chain"]] == [1.0, 0.791, 0.555, 0.555]
    assert (both["worn"], both["title"]) == ("vest 12 kg", "47.86 kg in all")
    assert both["bands"] == [
        {"label": "amber", "hitch": "once", "support": "foot"},
        {"label": "slate", "hitch": "once", "support": "knee"},
    ]
    assert spec(11_340)["chain"][0]["label"] == "25 lb"


def test_the_same_in_words() -> None:
    said = [render(line, "en", Unit.KG) for line in hang_words(hung(14_930 + 12_000), bands_of(KIT, ["amber knotted"]))]
    assert said == spec(14_930 + 12_000, "amber knotted")["words"]
    assert said[0] == "26.93 kg in all"
    assert said[1].startswith("On the chain, in this order: a plate of 10 kg")
    assert "a plate of 4.93 kg (stamped 5 kg)" in said[1]
    assert said[2:] == [
        "Worn: a vest of 12 kg.",
        "The band amber knotted: pulled twice through itself around the bar, under one foot.",
    ]


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_has_the_words(language: str) -> None:
    one = hang_picture(hung(47_860), bands_of(KIT, ["amber", "slate"]), language, Unit.KG)
    assert len(one["words"]) == 5
    assert language == "en" or one["words"] != spec(47_860, "amber", "slate")["words"]


def test_a_picture_is_due_when_something_else_hangs() -> None:
    assert changed(None, hung(0))
    assert changed(hung(10_000), hung(16_000))
    assert not changed(hung(10_000), hung(10_001))


def test_the_png_has_phone_width_twice_and_is_the_same_again() -> None:
    one = spec(26_000, "amber")
    assert image(one).size == (800, 1040)
    assert draw(one) == draw(one)


def ink(one: Json, box: tuple[int, int, int, int]) -> int:
    """Pixels darker than mid-grey in a part of the picture."""
    return sum(count for count, value in image(one).convert("L").crop(box).getcolors(256) if value < 128)


RIGHT, LEFT = (410, 120, 800, 960), (0, 120, 400, 850)


def test_the_drawing_follows_the_specification() -> None:
    nothing, plate, more = spec(0, "amber"), spec(10_000, "amber"), spec(26_000, "amber")
    assert ink(plate, RIGHT) < ink(more, RIGHT)
    assert ink(spec(10_000), LEFT) < ink(plate, LEFT)  # the band
    assert ink(plate, LEFT) < ink(spec(22_000, "amber"), LEFT)  # the vest
    pictures = [draw(one) for one in (nothing, plate, more, spec(10_000, "amber knotted"), spec(10_000, "slate"))]
    assert len(set(pictures)) == 5


def test_odd_labels_and_many_pieces_are_drawn() -> None:
    odd = spec(10_000, "amber") | {"bands": [{"label": "$x^{2$ <b>" * 9, "hitch": "fold", "support": "foot"}]}
    assert draw(odd)
    many = Kit(pieces=(Plate(250, 60), Plate(1000, 5), Kettlebell(8000, 2)))
    crowd = hang_picture(load([33_000], many).sets[0], (), "en", Unit.KG)
    assert len(crowd["chain"]) > 20
    assert ink(crowd, RIGHT) > 1000


def luminance(colour: str) -> float:
    """Relative luminance of WCAG 2."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_inks_are_told_apart_by_lightness() -> None:
    """WCAG 2: 4.5 for words, 3 for lines; bands against the body, and the vest against it, in grey too."""
    assert all(contrast(dark, PAPER) >= 4.5 for dark in (INK, DARK, ACCENT))
    assert contrast(DARK, MIDDLE) >= 3
    assert contrast(MIDDLE, PAPER) >= 3
    assert contrast("#777777", "#888888") < 3


def test_the_drawing_library_is_not_loaded_before_the_first_picture() -> None:
    code = "import sys, bot.pictures, core.hang_picture; sys.exit('matplotlib' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
