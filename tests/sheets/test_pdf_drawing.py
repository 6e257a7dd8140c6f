"""What a PDF page draws, against what its operators say (ISO 32000-1, 8 and 9) and what PDFium paints."""

from __future__ import annotations

import io

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader, PdfWriter, Transformation
from pypdf.generic import RectangleObject
from reportlab.pdfgen.canvas import Canvas

from loomfolio.basics import FileUnreadableError, LimitExceededError
from loomfolio.sheets import load_drawing, load_page
from loomfolio.sheets.pdf_probe import pages_too_heavy
from support.raw_pdf import form, nested_forms, raw_pdf, stream

PX_PER_POINT = 300 / 72


@pytest.fixture
def drawn(tmp_path):
    def read(data: bytes, **options):
        file = tmp_path / "page.pdf"
        file.write_bytes(data)
        return load_drawing(file, **options)

    return read


def px(x: float, y: float, height: float = 300.0) -> list[float]:
    return [x * PX_PER_POINT, (height - y) * PX_PER_POINT]


def test_stroke_has_its_place_width_colour_and_dashes(drawn):
    (stroke,) = drawn(raw_pdf(b"1 0 0 RG 2 w [4 2] 0 d 10 20 m 110 20 l S")).strokes
    assert stroke.points == pytest.approx(np.array([px(10, 20), px(110, 20)]), abs=0.01)
    assert stroke.width_px == pytest.approx(2 * PX_PER_POINT)
    assert (stroke.colour, stroke.is_dashed, stroke.is_closed) == ((255, 0, 0), True, False)


def test_frames_of_nested_forms_multiply(drawn):
    inner = form(b"0 0 m 10 0 l S", b"/Matrix[0 1 -1 0 0 0]")
    outer = form(b"q 2 0 0 2 5 5 cm /I Do Q", b"/Resources<</XObject<</I 6 0 R>>>>")
    data = raw_pdf(
        b"1 0 0 1 100 50 cm /O Do", resources=b"/XObject<</O 5 0 R>>", objects=[outer, inner]
    )
    (stroke,) = drawn(data).strokes
    assert stroke.points == pytest.approx(np.array([px(105, 55), px(105, 75)]), abs=0.01)


def test_window_cuts_a_stroke(drawn):
    data = raw_pdf(b"q 50 0 40 300 re W n 10 20 m 110 20 l S Q")
    (stroke,) = drawn(data).strokes
    assert np.sort(stroke.points[:, 0]) == pytest.approx(
        np.array([50, 90]) * PX_PER_POINT, abs=0.01
    )


def test_window_of_any_shape_cuts_a_stroke(drawn):
    data = raw_pdf(b"q 0 0 m 200 0 l 0 200 l h W n 10 100 m 190 100 l S Q")
    (stroke,) = drawn(data).strokes
    assert np.sort(stroke.points[:, 0]) == pytest.approx(
        np.array([10, 100]) * PX_PER_POINT, abs=0.01
    )


def test_curve_is_never_farther_off_than_a_tenth_of_a_px(drawn):
    data = raw_pdf(
        b"50 100 m 50 127.614 72.386 150 100 150 c S"
    )  # a quarter of a circle, radius 50
    (stroke,) = drawn(data).strokes
    centre = np.array(px(100, 100))
    middles = (stroke.points[1:] + stroke.points[:-1]) / 2
    radius = np.hypot(*(np.vstack([stroke.points, middles]) - centre).T)
    # The cubic itself leaves the circle by 0.03 %.
    assert np.abs(radius - 50 * PX_PER_POINT).max() < 0.1 + 0.0003 * 50 * PX_PER_POINT


def test_round_end_without_length_is_a_dot(drawn):
    page = drawn(raw_pdf(b"1 J 4 w 100 100 m 100 100 l S"))
    (fill,) = page.fills
    assert np.ptp(fill.rings[0], axis=0) == pytest.approx([4 * PX_PER_POINT] * 2, rel=0.01)


def test_picture_has_its_box(drawn):
    image = stream(
        b"\x80",
        b"/Type/XObject/Subtype/Image/Width 1/Height 1/BitsPerComponent 8/ColorSpace/DeviceGray",
    )
    data = raw_pdf(
        b"q 100 0 0 50 20 30 cm /P Do Q", resources=b"/XObject<</P 5 0 R>>", objects=[image]
    )
    (picture,) = drawn(data).pictures
    assert picture.box == pytest.approx([*px(20, 80), *px(120, 30)], abs=0.01)


def test_page_without_content_draws_nothing(drawn):
    page = drawn(raw_pdf(b""))
    assert (page.strokes, page.fills, page.words, page.pictures) == ((), (), (), ())


def lines_page(lines: list[tuple[float, float, float, float]]) -> bytes:
    file = io.BytesIO()
    canvas = Canvas(file, pagesize=(400, 300))
    canvas.setLineWidth(1.5)
    for line in lines:
        canvas.line(*line)
    canvas.showPage()
    canvas.save()
    return file.getvalue()


@given(
    turned=st.sampled_from([0, 90, 180, 270]),
    crop=st.tuples(st.floats(0, 60), st.floats(0, 60), st.floats(330, 400), st.floats(230, 300)),
    scale=st.floats(0.4, 2.0),
    dpi=st.sampled_from([150.0, 300.0]),
)
def test_strokes_lie_where_the_page_is_painted(tmp_path_factory, turned, crop, scale, dpi):
    """Rotated, cropped and scaled pages: every stroke lies on ink, and all ink on strokes."""
    writer = PdfWriter(
        clone_from=PdfReader(io.BytesIO(lines_page([(80, 80, 300, 80), (120, 70, 260, 210)])))
    )
    page = writer.pages[0]
    page.add_transformation(Transformation().scale(scale))
    page.mediabox = RectangleObject((0, 0, 400 * scale, 300 * scale))
    page.cropbox = RectangleObject(tuple(edge * scale for edge in crop))
    page.rotate(turned)
    file = tmp_path_factory.mktemp("page") / "page.pdf"
    writer.write(file)
    drawing, image = load_drawing(file, dpi=dpi), load_page(file, dpi=dpi)
    assert (drawing.height_px, drawing.width_px) == image.pixels.shape[:2]
    rows, columns = np.nonzero(image.pixels < 128)
    ink = np.stack([columns + 0.5, rows + 0.5], axis=1)
    apart = np.min([distance_to(ink, s.points) - s.width_px / 2 for s in drawing.strokes], axis=0)
    assert apart.max() < 0.75
    for stroke in drawing.strokes:
        middle = stroke.points.mean(axis=0).astype(int)
        assert image.pixels[middle[1], middle[0]] < 200


def distance_to(points: np.ndarray, line: np.ndarray) -> np.ndarray:
    a, b = line[0], line[-1]
    share = np.clip((points - a) @ (b - a) / ((b - a) @ (b - a)), 0, 1)
    return np.hypot(*(points - a - share[:, None] * (b - a)).T)


def test_forms_nested_a_hundred_deep_are_read_as_far_as_they_are_painted(drawn):
    resources, objects = nested_forms(100, 1)
    assert len(drawn(raw_pdf(b"/F Do", resources=resources, objects=objects)).strokes) <= 1


def test_form_that_draws_itself_comes_to_an_end(drawn):
    itself = form(b"10 20 m 110 20 l S /F Do", b"/Resources<</XObject<</F 5 0 R>>>>")
    page = drawn(raw_pdf(b"/F Do", resources=b"/XObject<</F 5 0 R>>", objects=[itself]))
    assert 1 <= len(page.strokes) < 100


def test_forms_that_multiply_without_end_are_refused_with_one_sentence(drawn):
    resources, objects = nested_forms(12, 12)
    data = raw_pdf(b"/F Do", resources=resources, objects=objects)
    assert pages_too_heavy(data, [1], None, seconds_a_page=1.0) == {1}
    with pytest.raises(
        LimitExceededError, match=r"^page\.pdf: page 1 holds more than can be drawn"
    ):
        drawn(data)


def test_page_of_a_million_operators_is_left_to_its_pixels(drawn):
    assert drawn(raw_pdf(b"0 0 m 9 9 l S\n" * 333_334)) is None


def test_huge_coordinates_are_left_out(drawn):
    page = drawn(raw_pdf(b"10 20 m 9e30 20 l S 10 40 m 110 40 l S"))
    assert all(np.abs(s.points).max() < 1e7 for s in page.strokes)
    assert any(
        s.points == pytest.approx(np.array([px(10, 40), px(110, 40)]), abs=0.01)
        for s in page.strokes
    )


@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_file_that_is_cut_off_is_read_as_far_as_it_goes_or_refused(drawn, share):
    whole = lines_page([(80, 80, 300, 80)])
    try:
        page = drawn(whole[: int(share * len(whole))])
    except FileUnreadableError:
        return
    assert len(page.strokes) <= 1


def test_wrong_cross_reference_is_mended(drawn):
    data = raw_pdf(b"10 20 m 110 20 l S").replace(b"0000000009 00000 n", b"0000004711 00000 n")
    assert len(drawn(data).strokes) == 1


def test_picture_file_draws_nothing(tmp_path):
    from PIL import Image

    Image.new("L", (60, 40), 255).save(tmp_path / "page.png")
    assert load_drawing(tmp_path / "page.png") is None
