"""Where sheets lie on the table, and what is under a place on it."""

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.table.layout import SheetPlace, TableBox, TableLayout, TablePoint
from loomfolio.project import Project
from support.make_table import table_job


def layout():
    return TableLayout(table_job())


def test_a_place_on_a_sheet_is_found_again_on_the_table():
    laid = layout().get("sheet-2")
    assert laid.to_table(MmPoint(10, 5)) == TablePoint(160, 5)
    assert laid.to_sheet(TablePoint(160, 5)) == MmPoint(10, 5)


def test_under_the_pointer_is_the_sheet_that_lies_there():
    assert layout().under(TablePoint(160, 5)) == SheetPlace("sheet-2", MmPoint(10, 5))


def test_on_the_bare_table_there_is_no_sheet():
    assert layout().under(TablePoint(140, 5)) is None


def test_where_sheets_overlap_the_later_one_lies_on_top():
    project = table_job()
    first, second = project.sheets
    stacked = project.model_copy(
        update={"sheets": (first, second.model_copy(update={"table_at": MmPoint(20.0, 0.0)}))}
    )
    assert TableLayout(stacked).under(TablePoint(25, 5)) == SheetPlace("sheet-2", MmPoint(5, 5))


def test_the_title_strip_is_above_the_paper_and_as_high_as_on_screen():
    strip = layout().get("sheet-1").title_band(px_per_mm=2.0)
    assert (strip.y0, strip.y1) == (-12.0, 0.0)
    assert layout().title_under(TablePoint(5, -11), 2.0).id == "sheet-1"
    assert layout().title_under(TablePoint(5, -13), 2.0) is None


def test_a_place_on_paper_is_never_a_title():
    assert layout().title_under(TablePoint(5, 1), 2.0) is None


def test_only_sheets_that_show_in_a_window_are_within_it():
    shown = layout().within(TableBox(149, 0, 160, 10))
    assert [laid.id for laid in shown] == ["sheet-2"]


def test_a_box_on_a_sheet_keeps_its_size_on_the_table():
    box = layout().get("sheet-2").on_table(MmBox(1, 2, 11, 22))
    assert (box.width, box.height) == (10, 20)
    assert box.corner == TablePoint(151, 2)


def test_the_bounds_hold_every_sheet_and_its_title():
    bounds = layout().bounds
    assert bounds.x0 == 0
    assert bounds.y0 < 0
    assert bounds.x1 > 150


def test_an_empty_table_has_no_bounds():
    assert TableLayout(Project()).bounds is None


def test_the_box_around_nothing_is_none():
    assert TableBox.around([]) is None
