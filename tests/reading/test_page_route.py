"""Which way a page is read, and what each way brings along."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image, ImageDraw
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from loomfolio.reading import read_any_page
from loomfolio.reading.page_route import HIDDEN_CONFIDENCE
from loomfolio.sheets import load_drawing, load_page

PX_PER_POINT = 300 / 72


def scan() -> ImageReader:
    """A picture, 150 dpi, of a line from its left to its right edge but for a margin."""
    image = Image.new("L", (400, 300), 255)
    ImageDraw.Draw(image).line((40, 150, 360, 150), fill=0, width=3)
    return ImageReader(image)


@pytest.fixture
def read(tmp_path):
    def run(draw):
        file = tmp_path / "page.pdf"
        canvas = Canvas(str(file), pagesize=(420, 300))
        draw(canvas)
        canvas.showPage()
        canvas.save()
        return read_any_page(lambda: load_page(file).pixels, load_drawing(file), dpi=300)

    return run


def rows_of(reading):
    return sorted(
        round(float(np.mean([y for line in c.lines for _, y in line])) / PX_PER_POINT)
        for c in reading.conductors
    )


def test_page_that_was_drawn_is_read_from_its_strokes(read):
    reading = read(lambda canvas: canvas.line(50, 100, 300, 100))
    assert (reading.route, rows_of(reading)) == ("strokes", [200])


def test_scan_is_read_from_its_pixels_and_its_hidden_words_are_less_sure(read):
    def draw(canvas):
        canvas.drawImage(scan(), 100, 50, 192, 144)
        text = canvas.beginText(120, 60)
        text.setTextRenderMode(3)
        text.textOut("E103")
        canvas.drawText(text)

    reading = read(draw)
    assert (reading.route, rows_of(reading)) == ("pixels", [178])
    assert [(t.text, t.confidence) for t in reading.texts] == [("E103", HIDDEN_CONFIDENCE)]


def test_picture_beside_strokes_is_read_each_its_own_way(read):
    def draw(canvas):
        canvas.drawImage(scan(), 100, 50, 192, 144)
        canvas.line(50, 250, 300, 250)
        canvas.drawString(60, 260, "LG")

    reading = read(draw)
    assert (reading.route, rows_of(reading)) == ("both", [50, 178])
    assert [(t.text, t.confidence) for t in reading.texts] == [("LG", 1.0)]
    assert [c.id for c in reading.conductors] == [1, 2]


def test_strokes_that_run_into_a_picture_leave_the_page_to_its_pixels(read):
    def draw(canvas):
        canvas.drawImage(scan(), 100, 50, 192, 144)
        canvas.line(20, 122, 130, 122)

    reading = read(draw)
    assert (reading.route, rows_of(reading)) == ("pixels", [178])


def test_logo_on_a_drawn_page_is_no_picture_of_a_diagram(read):
    def draw(canvas):
        canvas.drawImage(scan(), 380, 5, 30, 20)
        canvas.line(50, 100, 300, 100)

    assert read(draw).route == "strokes"


def test_picture_file_is_read_from_its_pixels():
    page = np.full((200, 400), 255, np.uint8)
    page[98:102, 50:350] = 0
    assert read_any_page(lambda: page, None, dpi=300).route == "pixels"


def test_route_stands_in_the_contract(read):
    text = read(lambda canvas: canvas.line(50, 100, 300, 100)).to_json()
    assert '"route":"strokes"' in text
    assert io.StringIO(text).read(24) == '{"schema":"loomfolio.con'
