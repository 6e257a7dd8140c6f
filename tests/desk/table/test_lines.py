"""Kept lines: made once, remade only where conductors changed, culled to what is seen."""

from loomfolio.basics import MmBox, MmPoint
from loomfolio.desk.table.lines import LineStore, SheetLines
from loomfolio.project import LineMark
from support.make_table import LEFT, table_job, table_scene


def conductors(*marks):
    return table_scene(table_job(*marks)).netlist.conductors_on("sheet-1")


def test_the_same_conductors_are_not_made_again():
    store = LineStore()
    first = store.get("sheet-1", conductors())
    assert store.get("sheet-1", conductors()) is first


def test_of_a_changed_sheet_only_the_changed_conductors_are_made_again():
    store = LineStore()
    before = store.get("sheet-1", conductors())
    line = LineMark(id="mark-9", sheet="sheet-1", points=(MmPoint(60, 40), MmPoint(80, 40)))
    after = store.get("sheet-1", conductors(line))
    assert after is not before
    assert len(after.lines) == len(before.lines) + 1
    assert {id(lines) for lines in before.lines} < {id(lines) for lines in after.lines}


def test_sheets_that_are_gone_are_forgotten():
    store = LineStore()
    first = store.get("sheet-1", conductors())
    store.keep_only(["sheet-2"])
    assert store.get("sheet-1", conductors()) is not first


def test_only_conductors_that_show_in_a_box_are_seen():
    lines = SheetLines(conductors(), None)
    near_s = MmBox(LEFT.at("s").x - 1, 0, LEFT.at("s").x + 1, 5)
    seen = [lines.conductors[i].number for i in lines.seen_in(near_s)]
    assert seen == [table_scene().netlist.snap("sheet-1", LEFT.at("s")).conductor]


def test_a_box_is_crossed_only_where_a_line_runs():
    lines = SheetLines(conductors(), None)
    y = LEFT.at("a").y
    assert lines.crosses(MmBox(20, y - 1, 24, y + 1))
    assert not lines.crosses(MmBox(20, y + 1, 24, y + 4))


def test_a_sheet_without_conductors_shows_none():
    lines = SheetLines((), None)
    assert list(lines.seen_in(MmBox(0, 0, 100, 100))) == []
    assert not lines.crosses(MmBox(0, 0, 100, 100))
    assert lines.of_net(0) == []
