"""The printed words of a sheet are read where they stand, upright or from below."""

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFont

from loomfolio.basics import PxBox, WorkCancelledError
from loomfolio.reading.words import read_words

DPI = 300.0


def sheet(*texts, size_px=30, lines=(), width=700, height=400):
    """A white sheet with texts at places, `(text, x, y)` or `(text, x, y, 90)`, and black lines."""
    page = Image.new("L", (width, height), 255)
    pen = ImageDraw.Draw(page)
    for line in lines:
        pen.line(line, fill=0, width=4)
    font = ImageFont.load_default(size_px)
    for text, x, y, *turned in texts:
        left, top, right, bottom = font.getbbox(text)
        word = Image.new("L", (int(right - left) + 2, int(bottom - top) + 2), 0)
        ImageDraw.Draw(word).text((1 - left, 1 - top), text, fill=255, font=font)
        if turned:
            word = word.rotate(turned[0], expand=True)
        page.paste(0, (x, y), word)
    return np.asarray(page)


def read(pixels, **options):
    return [text.text for text in read_words(pixels, dpi=DPI, **options)]


@pytest.mark.parametrize(
    "word", ["8", "87a", "G/W", "LG", "E103", "M24-8", "CAN-H", "12", "0.75", "GND", "X2:31"]
)
def test_short_codes_are_read(word):
    assert read(sheet((word, 200, 150))) == [word]


@pytest.mark.parametrize("word", ["87a", "G/W", "E103", "M24-8", "CAN-H", "12"])
def test_words_read_from_below_are_read(word):
    assert read(sheet((word, 200, 100, 90))) == [word]


def test_a_word_says_where_it_stands():
    (text,) = read_words(sheet(("E103", 200, 150)), dpi=DPI)

    assert text.confidence > 0.95
    assert text.box.x0 == pytest.approx(200, abs=5)
    assert text.box.y0 == pytest.approx(150, abs=5)


def test_pin_number_and_signal_name_are_two_words():
    assert sorted(read(sheet(("12", 100, 150), ("IGN", 180, 150)))) == ["12", "IGN"]


def test_a_column_of_pin_numbers_is_read_number_by_number():
    numbers = [(str(n), 200, 20 + 34 * n) for n in range(1, 11)]

    assert read(sheet(*numbers)) == [str(n) for n in range(1, 11)]


def test_a_row_of_pin_numbers_is_read_number_by_number():
    numbers = [(str(n), 20 + 55 * n, 150) for n in range(1, 11)]

    assert sorted(read(sheet(*numbers)), key=int) == [str(n) for n in range(1, 11)]


def test_a_colour_in_the_gap_of_its_line_is_read():
    lines = [(20, 165, 180, 165), (260, 165, 600, 165)]

    assert read(sheet(("R/W", 190, 152), lines=lines)) == ["R/W"]


def test_lines_and_boxes_are_no_words():
    lines = [(50, 50, 600, 50), (50, 50, 50, 300), (600, 50, 600, 300), (50, 300, 600, 300)]

    assert read(sheet(lines=lines)) == []


def test_a_dashed_outline_that_is_known_is_no_column_of_ones():
    dashes = [(100, y, 100, y + 24) for y in range(40, 360, 40)]
    pixels = sheet(("7", 60, 146), lines=dashes)

    assert read(pixels, bodies=[PxBox(100, 20, 690, 380)]) == ["7"]


def test_an_empty_sheet_has_no_words():
    assert read(sheet()) == []


def test_reading_words_can_be_called_off():
    with pytest.raises(WorkCancelledError):
        read_words(sheet(("E103", 200, 150)), dpi=DPI, cancelled=lambda: True)
