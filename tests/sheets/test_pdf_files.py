"""PDF pages to pixels: drawn and protected (RC4) by reportlab, turned and read by pypdf.

`specimens/*.pdf` are `make_pdf(pages=2)` encrypted with AES-256 by pypdf 7.1: `aes256.pdf` opens
with the password "Werkstatt", `aes256_owner_only.pdf` without one.
"""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader, PdfWriter

from loomfolio.basics import (
    FileUnreadableError,
    LimitExceededError,
    PasswordNeededError,
    Resolution,
    UsageError,
)
from loomfolio.sheets import MAX_PAGES, load_page, page_list
from support.sheet_files import POINTS_PER_MM, make_pdf

SPECIMENS = Path(__file__).parent / "specimens"


@pytest.fixture
def pdf(tmp_path):
    return tmp_path / "manual.pdf"


def ink(path, **options):
    return load_page(path, **options).pixels < 128


def test_page_is_as_large_as_its_paper_at_300_dpi(pdf):
    make_pdf(pdf, size_mm=(297, 210))
    (info,) = page_list(pdf)
    assert (info.width_px, info.height_px) == (3508, 2481)
    assert (info.x_dpi, info.y_dpi, info.is_vector) == (300, 300, True)


@pytest.mark.parametrize("dpi", [20, 72, 96.5, 150, 300, 600])
def test_line_is_drawn_where_the_paper_has_it(pdf, dpi):
    make_pdf(pdf)
    drawn = load_page(pdf, dpi=dpi)
    assert drawn.resolution == Resolution(dpi, dpi)
    rows = np.flatnonzero((drawn.pixels < 160).sum(axis=1) > 1.2 * dpi)
    expected = drawn.pixels.shape[0] - 20 * dpi / 72
    assert abs(rows.mean() - expected) < 1.5


def test_listed_size_is_the_drawn_size_for_uneven_paper(pdf):
    for width_mm in (60.0, 60.01, 60.13, 99.99):
        make_pdf(pdf, size_mm=(width_mm, 41.37))
        (info,) = page_list(pdf)
        assert load_page(pdf).pixels.shape == (info.height_px, info.width_px)


def test_black_page_is_grey_and_coloured_page_is_rgb(pdf):
    assert load_page(make_pdf(pdf)).pixels.ndim == 2
    pixels = load_page(make_pdf(pdf, colour=(0, 0.2, 0.8))).pixels
    assert pixels.shape[2] == 3
    blues = pixels[..., 2][pixels[..., 0] < 10]
    assert (abs(blues.astype(int) - 204) < 30).sum() > 400


def test_pages_differ_and_are_drawn_alike_twice(pdf):
    make_pdf(pdf, pages=3)
    heights = [ink(pdf, page=number)[:, 80:90].any(axis=1).sum() for number in (1, 2, 3)]
    assert heights == sorted(set(heights))
    assert np.array_equal(load_page(pdf, page=2).pixels, load_page(pdf, page=2).pixels)


def test_printed_page_labels_are_used(pdf):
    make_pdf(pdf, pages=3)
    writer = PdfWriter(clone_from=pdf)
    writer.set_page_label(0, 1, style="/r")
    writer.set_page_label(2, 2, prefix="A-", style="/D", start=12)
    writer.write(pdf)
    assert [info.label for info in page_list(pdf)] == ["i", "ii", "A-12"]


def test_turned_page_is_shown_upright_as_readers_show_it(pdf):
    make_pdf(pdf, size_mm=(60, 40))
    straight = ink(pdf)
    writer = PdfWriter(clone_from=pdf)
    writer.pages[0].rotate(90)
    writer.write(pdf)
    (info,) = page_list(pdf)
    turned = ink(pdf)
    assert (info.width_px, info.height_px) == turned.shape[::-1] == straight.shape
    assert (np.rot90(straight, -1) ^ turned).mean() < 0.01


def test_crop_box_is_the_page(pdf):
    make_pdf(pdf, size_mm=(60, 40))
    writer = PdfWriter(clone_from=pdf)
    writer.pages[0].cropbox.upper_right = (30 * POINTS_PER_MM, 20 * POINTS_PER_MM)
    writer.write(pdf)
    (info,) = page_list(pdf)
    assert (info.width_px, info.height_px) == (355, 237)


def test_bytes_before_the_mark_are_skipped(pdf):
    make_pdf(pdf)
    data = pdf.read_bytes()
    pdf.write_bytes(b"\0" * 100 + data)
    assert len(page_list(pdf)) == 1


# ------------------------------------------------------------------------------------- protection


@pytest.mark.parametrize("strength", [40, 128])
def test_protected_pdf_asks_for_its_password(pdf, strength):
    make_pdf(pdf, password="Werkstatt", strength=strength)
    for opened in (page_list, load_page):
        with pytest.raises(PasswordNeededError, match="protected; give its password"):
            opened(pdf)
        with pytest.raises(PasswordNeededError, match="not its password; try another one"):
            opened(pdf, password="werkstatt")
        assert opened(pdf, password="Werkstatt")


def test_protected_page_is_drawn_like_the_open_one(pdf, tmp_path):
    plain = make_pdf(tmp_path / "plain.pdf", pages=2)
    aes = SPECIMENS / "aes256.pdf"
    with pytest.raises(PasswordNeededError):
        load_page(aes)
    for page in (1, 2):
        drawn = load_page(aes, page=page, password="Werkstatt").pixels
        assert np.array_equal(drawn, load_page(plain, page=page).pixels)


def test_pdf_that_only_forbids_changes_opens(tmp_path):
    plain = make_pdf(tmp_path / "plain.pdf", pages=2)
    drawn = load_page(SPECIMENS / "aes256_owner_only.pdf").pixels
    assert np.array_equal(drawn, load_page(plain).pixels)


def test_password_for_an_open_pdf_is_not_needed(pdf):
    assert page_list(make_pdf(pdf), password="anything") == page_list(pdf)


# --------------------------------------------------------------------------------- limits, damage


@pytest.mark.parametrize("page", [-1, 0, 3])
def test_page_that_is_not_there_is_named(pdf, page):
    make_pdf(pdf, pages=2)
    with pytest.raises(FileUnreadableError, match=f"no page {page}, the file has 2;"):
        load_page(pdf, page=page)


def test_page_of_a_wall_is_refused_before_it_is_drawn(pdf):
    make_pdf(pdf, size_mm=(1500, 1500))
    with pytest.raises(LimitExceededError, match=r"page 1 is 17717 × 17717 px"):
        load_page(pdf)
    assert load_page(pdf, dpi=30).pixels.shape == (1772, 1772)


@pytest.mark.parametrize("dpi", [0, -300, 19.9, 2401, float("nan"), float("inf")])
def test_dpi_must_make_sense(pdf, dpi):
    make_pdf(pdf)
    with pytest.raises(UsageError, match="give a number from 20 to 2400"):
        load_page(pdf, dpi=dpi)


def test_pdf_of_too_many_pages_is_refused(pdf):
    make_pdf(pdf, pages=MAX_PAGES + 1)
    with pytest.raises(LimitExceededError, match="more than 1000 pages"):
        page_list(pdf)


def test_pdf_without_pages_is_broken_even_after_a_protected_one(pdf):
    with pytest.raises(PasswordNeededError):
        page_list(SPECIMENS / "aes256.pdf")
    room = io.BytesIO()
    PdfWriter().write(room)
    pdf.write_bytes(room.getvalue())
    with pytest.raises(FileUnreadableError, match="broken or cut off"):
        page_list(pdf)


def test_pdf_that_is_only_a_mark_is_broken(pdf):
    pdf.write_bytes(b"%PDF-1.7\n%%EOF")
    with pytest.raises(FileUnreadableError, match="the PDF is broken or cut off; fetch"):
        load_page(pdf)


def test_number_of_pages_agrees_with_an_independent_reader(samples):
    for path in sorted(samples.glob("*.pdf")):
        assert len(page_list(path)) == len(PdfReader(path).pages)
