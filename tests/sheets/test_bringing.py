"""Files into a project, and pixels out of it."""

from __future__ import annotations

import hashlib
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from pypdf import PdfWriter

from loomfolio.basics import (
    FileUnreadableError,
    LimitExceededError,
    MmPoint,
    NameNotFoundError,
    PasswordNeededError,
)
from loomfolio.project import Project, ProjectFolder, Sheet
from loomfolio.sheets import bring_in, load_page, sheet_pixels
from loomfolio.sheets.bringing import TABLE_GAP_MM, TABLE_ROW_MM, next_place
from support.sheet_files import make_coloured, make_drawing, make_pdf, with_pillow, with_tifffile

SPECIMENS = Path(__file__).parent / "specimens"


@pytest.fixture
def folder(tmp_path):
    with ProjectFolder.create(tmp_path / "job", Project()) as made:
        yield made


def stored(folder):
    return sorted(path for path in (folder.path / "sheets").rglob("*") if path.is_file())


@pytest.fixture
def scan(tmp_path):
    path = tmp_path / "towing page 3.png"
    Image.fromarray(make_drawing(600, 400)).save(path, dpi=(300, 300))
    return path


def test_scan_becomes_a_sheet_with_its_size_and_digest(folder, scan):
    project, (sheet_id,) = bring_in(folder, Project(), scan)
    sheet = project.sheet(sheet_id)
    assert (sheet.title, sheet.page, sheet.kind) == ("towing page 3", 1, "circuit")
    assert (sheet.width_px, sheet.height_px, sheet.x_dpi) == (600, 400, 300)
    assert sheet.resolution_from == "file"
    assert sheet.sha256 == hashlib.sha256(scan.read_bytes()).hexdigest()
    assert np.array_equal(sheet_pixels(folder, sheet), make_drawing(600, 400))


def test_project_opens_when_the_first_file_is_gone(folder, scan):
    project, _ = bring_in(folder, Project(), scan)
    scan.unlink()
    assert sheet_pixels(folder, project.sheets[0]).shape == (400, 600)


def test_project_committed_and_opened_again_shows_its_sheets(folder, scan):
    project, _ = bring_in(folder, folder.project, scan)
    folder.commit("Bring in", project)
    folder.close()
    with ProjectFolder.open(folder.path) as again:
        assert again.project == project
        assert np.array_equal(sheet_pixels(again, project.sheets[0]), make_drawing(600, 400))


def test_document_that_came_in_is_left_as_it_was(folder, scan):
    before = Project()
    bring_in(folder, before, scan)
    assert before == Project()


@pytest.mark.parametrize(
    ("size_px", "paper", "x_dpi", "said"),
    [
        ((1240, 1754), "A4", 150.0, "paper size"),
        ((1240, 1754), None, 150.0, "assumed"),
        ((1234, 800), None, 1234 / 297 * 25.4, "assumed"),
    ],
    ids=["paper that the person picks", "usual scan", "anything"],
)
def test_sheet_says_where_its_resolution_is_from(folder, tmp_path, size_px, paper, x_dpi, said):
    path = tmp_path / "page.png"
    path.write_bytes(with_pillow(make_drawing(*size_px), "PNG"))
    project, _ = bring_in(folder, Project(), path, paper=paper)
    assert project.sheets[0].resolution_from == said
    assert project.sheets[0].x_dpi == pytest.approx(x_dpi, rel=0.002)


def test_paper_that_the_person_picks_goes_before_the_file(folder, scan):
    project, _ = bring_in(folder, Project(), scan, paper="a3")
    assert project.sheets[0].resolution_from == "paper size"
    assert project.sheets[0].x_dpi < 40


def test_all_pages_of_a_file_share_one_copy(folder, tmp_path):
    path = make_pdf(tmp_path / "manual.pdf", pages=3)
    project, ids = bring_in(folder, Project(), path)
    assert len(ids) == len(set(ids)) == 3
    assert [sheet.title for sheet in project.sheets] == [f"manual, page {n}" for n in (1, 2, 3)]
    assert len(stored(folder)) == 1
    for sheet in project.sheets:
        assert np.array_equal(sheet_pixels(folder, sheet), load_page(path, page=sheet.page).pixels)


def test_pages_are_brought_in_as_chosen(folder, tmp_path):
    path = make_pdf(tmp_path / "manual.pdf", pages=4)
    project, _ = bring_in(folder, Project(), path, pages=(3, 1, 3))
    assert [sheet.page for sheet in project.sheets] == [3, 1]


def test_no_page_chosen_brings_in_nothing(folder, scan):
    assert bring_in(folder, Project(), scan, pages=()) == (Project(), ())
    assert stored(folder) == []


def test_coloured_page_stays_coloured(folder, tmp_path):
    path = tmp_path / "page.tif"
    path.write_bytes(with_tifffile(make_coloured()))
    project, _ = bring_in(folder, Project(), path)
    assert np.array_equal(sheet_pixels(folder, project.sheets[0]), make_coloured())


def test_long_name_of_a_file_makes_a_title_that_fits(folder, tmp_path):
    path = make_pdf(tmp_path / ("n" * 240 + ".pdf"), pages=2)
    project, _ = bring_in(folder, Project(), path)
    assert {len(sheet.title) for sheet in project.sheets} == {200}


# ------------------------------------------------------------------------------------- protection


def test_protected_pdf_opens_in_the_project_without_its_password(folder):
    path = SPECIMENS / "aes256.pdf"
    project, _ = bring_in(folder, Project(), path, password="Werkstatt")
    copy = folder.sheet_path(project.sheets[0])
    assert project.sheets[0].sha256 == hashlib.sha256(copy.read_bytes()).hexdigest()
    for sheet in project.sheets:
        expected = load_page(path, page=sheet.page, password="Werkstatt").pixels
        assert np.array_equal(sheet_pixels(folder, sheet), expected)


def test_protected_pdf_brought_in_twice_is_stored_once(folder):
    project = Project()
    for _ in range(2):
        path = SPECIMENS / "aes256.pdf"
        project, _ids = bring_in(folder, project, path, password="Werkstatt")
    assert len(project.sheets) == 4
    assert len(stored(folder)) == 1


def test_open_pdf_is_stored_byte_for_byte_whatever_password_is_given(folder, tmp_path):
    path = make_pdf(tmp_path / "manual.pdf")
    bring_in(folder, Project(), path, password="not needed")
    assert stored(folder)[0].read_bytes() == path.read_bytes()


# ----------------------------------------------------------------------------------------- damage


def broken(path):
    path.write_bytes(with_pillow(make_drawing(600, 400), "PNG")[:300])
    return {}


def second_page_cut_off(path):
    path.write_bytes(with_tifffile(np.stack([make_drawing()] * 2), photometric="minisblack")[:-99])
    return {}


def wall(path):
    make_pdf(path, size_mm=(1500, 1500))
    return {}


def protected(path):
    make_pdf(path, password="Werkstatt")
    return {}


def page_nine(path):
    make_pdf(path)
    return {"pages": [1, 9]}


def unknown_paper(path):
    make_pdf(path)
    return {"paper": "A44"}


@pytest.mark.parametrize(
    ("prepare", "error"),
    [
        (broken, FileUnreadableError),
        (second_page_cut_off, FileUnreadableError),
        (wall, LimitExceededError),
        (protected, PasswordNeededError),
        (page_nine, FileUnreadableError),
        (unknown_paper, NameNotFoundError),
    ],
)
def test_what_cannot_be_used_changes_nothing(folder, tmp_path, prepare, error):
    path = tmp_path / "file"
    options = prepare(path)
    with pytest.raises(error):
        bring_in(folder, Project(), path, **options)
    assert stored(folder) == []


def test_sheet_whose_file_is_gone_says_so(folder, scan):
    project, _ = bring_in(folder, Project(), scan)
    folder.sheet_path(project.sheets[0]).unlink()
    with pytest.raises(FileUnreadableError, match="there is no such file"):
        sheet_pixels(folder, project.sheets[0])


def test_sheet_whose_file_was_replaced_says_so(folder, scan):
    project, _ = bring_in(folder, Project(), scan)
    copy = folder.sheet_path(project.sheets[0])
    copy.write_bytes(with_pillow(255 - make_drawing(600, 400), "PNG"))
    with pytest.raises(FileUnreadableError, match="no longer the file that was brought in"):
        sheet_pixels(folder, project.sheets[0])


# ------------------------------------------------------------------------------- the light table


def box_mm(sheet):
    x, y = sheet.table_at
    return (x, y, x + sheet.width_px * 25.4 / sheet.x_dpi, y + sheet.height_px * 25.4 / sheet.y_dpi)


def lie_apart(one, other):
    a, b = box_mm(one), box_mm(other)
    return a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_pages_lie_side_by_side_and_then_in_a_new_row(folder, tmp_path):
    path = make_pdf(tmp_path / "manual.pdf", size_mm=(297, 210), pages=7)
    project, _ = bring_in(folder, Project(), path)
    places = [sheet.table_at for sheet in project.sheets]
    assert places[0] == MmPoint(0, 0)
    assert places[1].x == pytest.approx(297 + TABLE_GAP_MM, abs=0.1)
    assert len({place.y for place in places[:5]}) == 1
    assert places[5].x == 0
    assert places[5].y == pytest.approx(210 + TABLE_GAP_MM, abs=0.1)


laid = st.builds(
    lambda number, x, y, width_px, height_px: Sheet(
        id=f"sheet-{number}",
        title="",
        file="",
        sha256="0" * 64,
        x_dpi=25.4,
        y_dpi=25.4,
        width_px=width_px,
        height_px=height_px,
        table_at=MmPoint(x, y),
    ),
    st.integers(1, 9),
    st.floats(-3000, 3000),
    st.floats(-3000, 3000),
    st.integers(1, 2000),
    st.integers(1, 2000),
)


@given(st.lists(laid, max_size=8), st.integers(1, 3000))
def test_new_sheet_lies_on_no_other_wherever_they_were_moved(sheets, width_mm):
    at = next_place(tuple(sheets), width_mm)
    new = Sheet(
        id="sheet-99",
        title="",
        file="",
        sha256="0" * 64,
        x_dpi=25.4,
        y_dpi=25.4,
        width_px=width_mm,
        height_px=500,
        table_at=at,
    )
    assert all(lie_apart(new, sheet) for sheet in sheets)


@given(st.lists(st.tuples(st.integers(50, 1200), st.integers(50, 900)), max_size=30))
def test_row_of_sheets_stays_within_its_width(sizes_mm):
    sheets = ()
    for number, (width_mm, height_mm) in enumerate(sizes_mm):
        at = next_place(sheets, width_mm)
        sheets += (
            Sheet(
                id=f"sheet-{number}",
                title="",
                file="",
                sha256="0" * 64,
                x_dpi=25.4,
                y_dpi=25.4,
                width_px=width_mm,
                height_px=height_mm,
                table_at=at,
            ),
        )
    assert all(box_mm(sheet)[2] <= TABLE_ROW_MM for sheet in sheets)
    assert all(lie_apart(one, other) for one, other in combinations(sheets, 2))


def test_other_pages_of_a_file_come_in_where_one_is_too_large(folder, tmp_path):
    path = tmp_path / "manual.pdf"
    writer = PdfWriter()
    for side_pt in (300, 14_400, 300):  # 14,400 pt are 60,000 px at 300 dpi, and a few more
        writer.add_blank_page(side_pt, side_pt + 20)
    writer.write(path)
    left_out: list[FileUnreadableError] = []
    project, ids = bring_in(folder, folder.project, path, left_out=left_out.append)
    assert [project.sheet(sheet_id).page for sheet_id in ids] == [1, 3]
    assert [type(fault) for fault in left_out] == [LimitExceededError]
    with pytest.raises(LimitExceededError):
        bring_in(folder, folder.project, path)
