"""The words of a PDF page: which letters are one word, where they stand, and what is hidden."""

from __future__ import annotations

import io

import pypdfium2
import pytest
from reportlab.pdfgen.canvas import Canvas

from loomfolio.sheets import load_drawing
from support.raw_pdf import raw_pdf

PX_PER_POINT = 300 / 72


@pytest.fixture
def words(tmp_path):
    def read(data: bytes):
        file = tmp_path / "page.pdf"
        file.write_bytes(data)
        return load_drawing(file).words

    return read


def written(draw) -> bytes:
    file = io.BytesIO()
    canvas = Canvas(file, pagesize=(400, 300))
    canvas.setFont("Helvetica", 8)
    draw(canvas)
    canvas.showPage()
    canvas.save()
    return file.getvalue()


CODES = ["8", "87a", "G/W", "LG", "E103", "M24-8", "CAN-H", "0.75", "BK/YE"]


@pytest.mark.parametrize("turned", [0, 90, 180, 270, 30])
def test_codes_are_read_whichever_way_they_run(words, turned):
    def draw(canvas):
        canvas.translate(200, 150)
        canvas.rotate(turned)
        for k, code in enumerate(CODES):
            canvas.drawString(0, 12 * k - 50, code)

    assert sorted(w.text for w in words(written(draw))) == sorted(CODES)


def test_pin_number_and_the_name_behind_it_are_two_words(words):
    found = words(written(lambda canvas: canvas.drawString(50, 50, "12 IGN-SW")))
    assert [w.text for w in found] == ["12", "IGN-SW"]


def test_numbers_set_close_together_stay_apart(words):
    def draw(canvas):
        for k in range(10, 15):
            canvas.drawString(50 + (k - 10) * canvas.stringWidth("10"), 50, str(k))

    assert [w.text for w in words(written(draw))] == ["10", "11", "12", "13", "14"]


def test_letters_written_one_by_one_are_one_word(words):
    def draw(canvas):
        x = 50.0
        for letter in "CAN-H":
            canvas.drawString(x, 50, letter)
            x += canvas.stringWidth(letter)

    assert [w.text for w in words(written(draw))] == ["CAN-H"]


@pytest.mark.parametrize("stretch", [60, 100, 140])
def test_stretched_letters_are_one_word(words, stretch):
    def draw(canvas):
        text = canvas.beginText(50, 50)
        text.setHorizScale(stretch)
        text.textOut("IGNITION GN")
        canvas.drawText(text)

    assert [w.text for w in words(written(draw))] == ["IGNITION", "GN"]


def test_box_is_where_pdfium_finds_the_word(words):
    data = written(lambda canvas: canvas.drawString(70, 80, "E103"))
    (word,) = words(data)
    document = pypdfium2.PdfDocument(data)
    page = document[0]
    searcher = page.get_textpage().search("E103")
    index, count = searcher.get_next()
    boxes = [page.get_textpage().get_charbox(k) for k in range(index, index + count)]
    document.close()
    left, bottom = min(b[0] for b in boxes), min(b[1] for b in boxes)
    right, top = max(b[2] for b in boxes), max(b[3] for b in boxes)
    expected = [left, 300 - top, right, 300 - bottom]
    assert word.box == pytest.approx([v * PX_PER_POINT for v in expected], abs=1.0)


def test_hidden_words_are_told_and_said_to_be_hidden(words):
    def draw(canvas):
        canvas.saveState()
        text = canvas.beginText(50, 50)
        text.setTextRenderMode(3)
        text.textOut("SCANNED")
        canvas.drawText(text)
        canvas.restoreState()
        canvas.drawString(50, 80, "PRINTED")

    assert {w.text: w.is_hidden for w in words(written(draw))} == {
        "SCANNED": True,
        "PRINTED": False,
    }


def test_font_that_does_not_say_its_letters_gives_boxes_without_text(words):
    glyph = b"<</Type/Font/Subtype/Type3/FontBBox[0 0 10 10]/FontMatrix[.1 0 0 .1 0 0]"
    glyph += b"/CharProcs<</g1 6 0 R>>/Encoding<</Type/Encoding/Differences[65/g1]>>"
    glyph += b"/FirstChar 65/LastChar 65/Widths[10]/Resources<<>>>>"
    shape = b"<</Length 26>>stream\n10 0 d0 0 0 8 8 re f      \nendstream"
    data = raw_pdf(
        b"BT /F 12 Tf 50 50 Td (AA) Tj ET", resources=b"/Font<</F 5 0 R>>", objects=[glyph, shape]
    )
    found = words(data)
    assert all(w.text in {"", "AA"} for w in found)


def test_word_off_the_page_is_left_out(words):
    assert words(written(lambda canvas: canvas.drawString(500, 500, "NOWHERE"))) == ()
