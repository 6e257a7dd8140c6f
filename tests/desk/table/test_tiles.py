"""Pages on screen: loaded in a worker, held within a fixed memory, coarse until they are there."""

from pathlib import Path

import numpy as np
import pytest
from PySide6.QtGui import QPainter

from loomfolio.basics import FileUnreadableError, MmPoint
from loomfolio.desk.table.canvas import Canvas
from loomfolio.desk.table.layout import TableLayout
from loomfolio.desk.table.paper_ink import PaperInk
from loomfolio.desk.table.tiles import PaperTiles
from loomfolio.desk.table.view import View
from loomfolio.desk.theme import make_theme
from loomfolio.project import Project, Sheet

WIDTH, HEIGHT = 400, 300
pytestmark = pytest.mark.usefixtures("qapp")


def make_sheet(number, *, width_px=3000, height_px=2000):
    return Sheet(
        id=f"sheet-{number}",
        title=f"Sheet {number}",
        file="page.png",
        sha256=f"{number:064x}",
        width_px=width_px,
        height_px=height_px,
        x_dpi=254,
        y_dpi=254,
        table_at=MmPoint(400.0 * number, 0.0),
    )


def striped(sheet):
    """A page whose left half is black and whose right half is white."""
    page = np.full((sheet.height_px, sheet.width_px), 255, np.uint8)
    page[:, : sheet.width_px // 2] = 0
    return page


@pytest.fixture
def hold(qtbot):
    held = []

    def make(**limits):
        tiles = PaperTiles(**limits)
        held.append(tiles)
        return tiles

    yield make
    for tiles in held:
        tiles.shut_down()


def paint(tiles, sheet, scale=1.0, at=(0.0, 0.0)):
    """Paint a sheet at a scale; return whether it was there, and the picture's red channel."""
    laid = TableLayout(Project(sheets=(sheet,))).sheets[0]
    view = View(scale, laid.box.x0 + at[0], at[1])
    canvas = Canvas.of(view, WIDTH, HEIGHT, 1.0, make_theme("light"))
    target = canvas.blank()
    with QPainter(target) as painter:
        is_there = tiles.paint(painter, canvas, laid)
    image = target.toImage()
    rows = np.frombuffer(image.constBits(), np.uint8).reshape(HEIGHT, -1, 4)
    return is_there, rows[:, :WIDTH, 2].copy()


def load(qtbot, tiles, *sheets, scale=1.0):
    tiles.show(sheets, striped)
    for sheet in sheets:
        with qtbot.waitSignal(tiles.changed):
            paint(tiles, sheet, scale)


def test_a_page_is_not_there_at_first_and_arrives(qtbot, hold):
    tiles, sheet = hold(), make_sheet(1)
    tiles.show([sheet], striped)
    with qtbot.waitSignal(tiles.changed):
        assert paint(tiles, sheet)[0] is False
    assert paint(tiles, sheet)[0] is True


@pytest.mark.parametrize("scale", [0.2, 0.7, 1.0, 2.9])
def test_the_edge_of_the_print_lies_where_it_should_at_any_scale(qtbot, hold, scale):
    tiles, sheet = hold(), make_sheet(1)
    load(qtbot, tiles, sheet, scale=scale)
    left_mm = 150.0 - 100 / scale  # the black half ends at 150 mm: at px 100
    _, red = paint(tiles, sheet, scale, at=(left_mm, 20.0))
    row = red[20]
    assert (row[90:97] == 0).all()
    assert (row[103:110] == 255).all()


def test_between_tiles_there_is_no_seam(qtbot, hold):
    tiles, sheet = hold(), make_sheet(1)
    tiles.show([sheet], lambda s: np.full((s.height_px, s.width_px), 77, np.uint8))
    with qtbot.waitSignal(tiles.changed):
        paint(tiles, sheet, 7.3)
    _, red = paint(tiles, sheet, 7.3, at=(30.0, 30.0))
    assert (red == 77).all()


def test_tiles_stay_within_their_memory(qtbot, hold):
    ceiling = 6 * 514 * 514 * 4
    tiles, sheet = hold(tile_bytes=ceiling), make_sheet(1)
    load(qtbot, tiles, sheet, scale=9.0)
    for step in range(12):
        paint(tiles, sheet, 9.0, at=(step * 20.0, step * 12.0))
        assert tiles.held_bytes[0] <= ceiling


def test_pages_stay_within_their_memory_and_come_back_when_looked_at(qtbot, hold):
    first, second = make_sheet(1), make_sheet(2)
    whole = 3000 * 2000 * 1.34
    tiles = hold(pyramid_bytes=int(whole * 1.2))
    load(qtbot, tiles, first, second, scale=5.0)
    assert tiles.held_bytes[1] <= whole * 1.2
    is_there, _ = paint(tiles, first, 0.2)
    assert is_there  # its small levels are kept for good
    with qtbot.waitSignal(tiles.changed):
        assert paint(tiles, first, 5.0)[0] is True  # shown coarse at once, and loaded again


def test_a_frame_makes_only_so_many_tiles_and_is_painted_again(qtbot, hold, monkeypatch):
    monkeypatch.setattr("loomfolio.desk.table.tiles.NEW_TILES_A_FRAME", 2)
    tiles, sheet = hold(), make_sheet(1)
    load(qtbot, tiles, sheet, scale=5.0)
    tiles.set_ink(PaperInk("#000000", "#fefefe"))
    tile = 514 * 514 * 4
    with qtbot.waitSignal(tiles.changed):
        paint(tiles, sheet, 10.0, at=(30.0, 30.0))
    assert not tiles.held_bytes[0] > 4 * tile  # two of this level, and what the coarser one needs
    while not tiles.is_idle:
        with qtbot.waitSignal(tiles.changed):
            paint(tiles, sheet, 10.0, at=(30.0, 30.0))
    _, red = paint(tiles, sheet, 10.0, at=(148.0, 30.0))
    assert red[100, 10] == 0
    assert red[100, 30] == 254


def test_a_page_that_cannot_be_read_says_why_and_is_not_tried_again(qtbot, hold):
    tiles, sheet, tries = hold(), make_sheet(1), []

    def missing(asked):
        tries.append(asked.id)
        raise FileUnreadableError(Path("page.png"), "the file is missing", "bring it in again")

    tiles.show([sheet], missing)
    with qtbot.waitSignal(tiles.failed) as failed:
        paint(tiles, sheet)
    assert failed.args[1] == "page.png: the file is missing; bring it in again."
    assert tiles.fault_of(sheet) == failed.args[1]
    assert paint(tiles, sheet)[0] is False
    assert tries == ["sheet-1"]


def test_a_fault_of_the_program_is_logged_and_said(qtbot, hold, caplog):
    tiles, sheet = hold(), make_sheet(1)

    def broken(asked):
        raise ZeroDivisionError

    tiles.show([sheet], broken)
    with qtbot.waitSignal(tiles.failed) as failed:
        paint(tiles, sheet)
    assert failed.args[1] == "Sheet 1: the page could not be shown; see the log."
    assert "sheet-1 could not be shown" in caplog.text


def test_a_page_that_left_the_document_is_forgotten(qtbot, hold):
    tiles, sheet = hold(), make_sheet(1)
    load(qtbot, tiles, sheet)
    tiles.show([], striped)
    assert tiles.held_bytes == (0, 0)


def test_a_moved_sheet_keeps_its_page(qtbot, hold):
    tiles, sheet = hold(), make_sheet(1)
    load(qtbot, tiles, sheet)
    moved = sheet.model_copy(update={"table_at": MmPoint(5.0, 900.0)})
    tiles.show([moved], striped)
    assert tiles.held_bytes[1] > 0
