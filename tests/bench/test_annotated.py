"""Annotated sheets: marks where the document has them, the page below untouched, words to search, bookmarks."""

from __future__ import annotations

import io
from datetime import date

import numpy as np
import pypdfium2
import pytest
from pypdf import PdfReader

from loomfolio.basics import MmBox, MmPoint, PxBox
from loomfolio.bench import bench_leads
from loomfolio.bench.annotated import STRIP_MM, annotated_pdf, together
from loomfolio.bench.annotations import CASING_MM, sheet_notes, sheet_size_mm
from loomfolio.bench.frame import Subject, frame_of
from loomfolio.nets import connector_map, derive
from loomfolio.project import BodyPin, PinKey, Project, edits
from loomfolio.reading import Reading
from loomfolio.reading.records import PageSize, Text
from support.make_project import make_sheet
from support.pdf_text import MM_PER_POINT, pages_of, plain

DAY = date(2026, 8, 14)
CLOSE_MM = 0.3
"""Within this the marks lie where the desk shows them."""
PEN_MM = 1.2
LEFT, RIGHT = MmBox(20, 40, 50, 90), MmBox(150, 40, 180, 90)
JOINED, APART = MmPoint(100, 120), MmPoint(120, 130)


def two_parts():
    """Two bodies and a line from one to the other, drawn by hand; one join and one keep-apart."""
    p, sheet = make_sheet(Project(), "Lamps")
    p, module = edits.add_part(p, name="A1", kind="module")
    p, lamp = edits.add_part(p, name="E5", kind="lamp")
    for part, box, x in ((module, LEFT, 50), (lamp, RIGHT, 150)):
        pins = (BodyPin(at=MmPoint(x, 60), pin="7"),)
        p, _ = edits.put_body(p, sheet=sheet, box=box, part=part, pins=pins)
    p, _ = edits.put_line(p, sheet=sheet, points=(MmPoint(50, 60), MmPoint(150, 60)))
    p, _ = edits.put_line(p, sheet=sheet, points=(MmPoint(90, 120), MmPoint(130, 120)))
    p, _ = edits.put_line(p, sheet=sheet, points=(MmPoint(110, 130), MmPoint(130, 130)))
    p, _ = edits.put_join(p, sheet=sheet, at=JOINED)
    p, _ = edits.put_apart(p, sheet=sheet, at=APART)
    return p, sheet, module, lamp


def reading_of(project, *words):
    sheet = project.sheets[0]
    page = PageSize(width_px=sheet.width_px, height_px=sheet.height_px, dpi=300)
    texts = tuple(Text(text=text, box=PxBox(*box), confidence=1.0) for text, box in words)
    return Reading(page=page, texts=texts)


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    project, sheet, module, lamp = two_parts()
    reading = reading_of(project, ("WD-E3-L07", (600, 1500, 900, 1560)))
    netlist = derive(project, {})
    leads = bench_leads(project, connector_map(netlist))
    ends = frozenset((PinKey(part=module, pin="7"), PinKey(part=lamp, pin="7")))
    notes = sheet_notes(project, netlist, leads, (), {sheet: reading}, new_numbers={ends: "N1"})
    picture = np.full((3508, 2480), 255, np.uint8)
    picture[2000:2100, 500:700] = 0
    frame = frame_of(
        project, Subject("Annotated sheets", (), "", has_hollow=False), (), paper="a4", today=DAY
    )
    pdf = annotated_pdf(project, notes, {sheet: picture}, frame, today=DAY)
    path = tmp_path_factory.mktemp("sheets") / "annotated.pdf"
    path.write_bytes(pdf)
    return path, project, notes


def shape_near(page, box):
    """How far the middle of the nearest shape of this size is off; PDFium adds the pen to a shape's box."""

    def off(shape):
        middles = [(shape[i] + shape[i + 2] - box[i] - box[i + 2]) / 2 for i in (0, 1)]
        sizes = [abs((shape[i + 2] - shape[i]) - (box[i + 2] - box[i])) for i in (0, 1)]
        return max(abs(one) for one in middles) if max(sizes) < PEN_MM else float("inf")

    return min(off(shape) for shape in page.shapes)


def test_the_page_is_the_sheet_with_a_strip_below(made):
    path, project, _ = made
    (page,) = pages_of(path)
    width, height = sheet_size_mm(project.sheets[0])
    assert (page.width_mm, page.height_mm) == pytest.approx((width, height + STRIP_MM), abs=0.1)


@pytest.mark.parametrize("box", [LEFT, RIGHT], ids=["left", "right"])
def test_bodies_lie_where_the_document_has_them(made, box):
    (page,) = pages_of(made[0])
    assert shape_near(page, tuple(box)) < CLOSE_MM


def test_the_casing_of_a_lead_runs_on_both_sides_of_its_ink(made):
    (page,) = pages_of(made[0])
    outline = (50, 60 - CASING_MM, 150, 60 + CASING_MM)
    assert shape_near(page, outline) < CLOSE_MM


def test_what_is_joined_or_kept_apart_is_marked_at_its_place(made):
    (page,) = pages_of(made[0])
    square = (JOINED.x - 0.9, JOINED.y - 0.9, JOINED.x + 0.9, JOINED.y + 0.9)
    assert shape_near(page, square) < CLOSE_MM
    left_bracket = (APART.x - 1.4, APART.y - 1.4, APART.x - 0.5, APART.y + 1.4)
    assert shape_near(page, left_bracket) < CLOSE_MM


def test_the_scan_lies_below_where_it_was(made):
    with pypdfium2.PdfDocument(made[0]) as document:
        picture = document[0].render(scale=150 / 72).to_numpy()
    dark = np.argwhere(picture[:, :, 0] < 40)
    near = (dark[:, 0] > 950) & (dark[:, 0] < 1100) & (dark[:, 1] > 200) & (dark[:, 1] < 400)
    black = dark[near]
    top_left, bottom_right = black.min(axis=0) / 150 * 25.4, (black.max(axis=0) + 1) / 150 * 25.4
    assert top_left == pytest.approx((2000 / 300 * 25.4, 500 / 300 * 25.4), abs=CLOSE_MM)
    assert bottom_right == pytest.approx((2100 / 300 * 25.4, 700 / 300 * 25.4), abs=CLOSE_MM)


def test_words_of_the_scan_are_found_at_their_place_and_not_seen(made):
    (page,) = pages_of(made[0])
    run = next(run for run in page.runs if "WD-E3-L07" in run.text)
    assert run.box.x0 == pytest.approx(600 / 300 * 25.4, abs=1.5)
    assert run.box.x1 == pytest.approx(900 / 300 * 25.4, abs=1.5)
    with pypdfium2.PdfDocument(made[0]) as document:
        picture = document[0].render(scale=1).to_numpy()
    x0, y0, x1, y1 = (round(edge / MM_PER_POINT) for edge in run.box)
    assert picture[y0 - 2 : y1 + 2, x0 - 2 : x1 + 2].min() > 250


def test_names_numbers_and_what_it_is_stand_in_the_text(made):
    text = pages_of(made[0])[0].text
    for words in ("A1", "E5", "N1", "Lamps", "sheet1of1", plain("kept apart")):
        assert words in text


def test_each_sheet_has_a_bookmark(made):
    assert [item.title for item in PdfReader(made[0]).outline] == ["Lamps"]


def test_a_page_of_colour_is_kept_as_it_is():
    project, sheet, *_ = two_parts()
    notes = sheet_notes(project, derive(project, {}), (), (), {})
    picture = np.zeros((3508, 2480, 3), np.uint8)
    picture[:, :, 1] = 200
    frame = frame_of(
        project, Subject("Annotated sheets", (), "", has_hollow=False), (), paper="a4", today=DAY
    )
    pdf = annotated_pdf(project, notes, {sheet: picture}, frame, today=DAY)
    (image,) = PdfReader(io.BytesIO(pdf)).pages[0].images
    assert image.image.size == (2480, 3508)
    assert image.image.convert("RGB").getpixel((100, 100)) == (0, 200, 0)


def test_several_papers_become_one_with_bookmarks_in_order(made):
    one = made[0].read_bytes()
    both = PdfReader(io.BytesIO(together([("First", one), ("Second", one)], title="Both")))
    assert len(both.pages) == 2
    assert [item.title for item in both.outline if not isinstance(item, list)] == [
        "First",
        "Second",
    ]
    assert both.metadata.title == "Both"
