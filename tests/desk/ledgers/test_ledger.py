"""The ledger as a person works it: choose, filter, sort, type a name, open, copy."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit

from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.ledgers.cell_painter import row_height, two_lines
from loomfolio.desk.ledgers.ledger import Ledger
from loomfolio.desk.ledgers.lines import (
    doubt_lines,
    gap_lines,
    lead_lines,
    net_lines,
    pin_lines,
    sheet_lines,
)
from loomfolio.desk.ledgers.plan_lines import bench_lines, proof_lines, work_lines
from loomfolio.desk.ledgers.tables import columns_of
from loomfolio.desk.planning import plan_all
from loomfolio.desk.stages import STAGES, stage
from loomfolio.desk.theme import make_theme
from support.make_desk import derived, fitted_job, pin, planned_job, scoped_job


class Typed:
    """Remembers what was typed in a ledger."""

    def __init__(self):
        self.names = []
        self.titles = []
        self.kinds = []

    def name_net(self, net, name):
        self.names.append((net, name))

    def title_sheet(self, sheet, title):
        self.titles.append((sheet, title))

    def set_sheet_kind(self, sheet, kind):
        self.kinds.append((sheet, kind))


@pytest.fixture
def typed():
    return Typed()


def lines_of(state):
    planned = derived(planned_job())
    return {
        "sheets": sheet_lines(state, {}),
        "names": net_lines(state),
        "pins": pin_lines(state),
        "leads": lead_lines(state),
        "gaps": gap_lines(derived(fitted_job())),
        "work": work_lines(planned, plan_all(planned)),
        "bench": bench_lines(planned, plan_all(planned)),
        "proof": proof_lines(planned, plan_all(planned)),
        "doubts": doubt_lines(state),
    }


@pytest.fixture
def ledger(qtbot, typed):
    shown = Ledger(typed, make_theme("light"))
    qtbot.addWidget(shown)
    shown.resize(520, 600)
    shown.show()
    shown.show_lines(lines_of(derived(scoped_job())), is_read_only=False)
    shown.show_stage("names")
    return shown


def cell(ledger, row, column=0):
    return ledger.view.visualRect(ledger.view.lines.index(row, column)).center()


def click(qtbot, ledger, row, column=0):
    button = Qt.MouseButton.LeftButton
    qtbot.mouseClick(ledger.view.viewport(), button, pos=cell(ledger, row, column))


@pytest.mark.parametrize("name", [s.id for s in STAGES])
def test_each_stage_has_its_lines_under_its_head(ledger, name):
    ledger.show_stage(name)
    assert ledger.stage == name
    assert ledger._head.text() == stage(name).head
    assert ledger.view.lines.rowCount() > 0


@pytest.mark.parametrize("name", [s.id for s in STAGES])
def test_each_ledger_passes_qts_own_checker(ledger, qtmodeltester, name):
    ledger.show_stage(name)
    qtmodeltester.check(ledger.view.lines)
    qtmodeltester.check(ledger.view.lines.model)


def test_a_clicked_line_is_told(qtbot, ledger):
    with qtbot.waitSignal(ledger.line_chosen) as told:
        click(qtbot, ledger, 1, column=1)
    assert told.args[0] == ledger.view.lines.record(ledger.view.lines.index(1, 0))


def test_lines_are_chosen_with_the_arrows(qtbot, ledger):
    click(qtbot, ledger, 0, column=1)
    with qtbot.waitSignal(ledger.line_chosen):
        qtbot.keyClick(ledger.view, Qt.Key.Key_Down)
    assert ledger.view.chosen_rows() == [1]


def test_being_led_to_a_line_tells_nothing(qtbot, ledger):
    with qtbot.assertNotEmitted(ledger.line_chosen):
        assert ledger.view.lead_to(lambda line: line.name == "BRAKE")
    assert [line.name for line in ledger.view.chosen_lines()] == ["BRAKE"]


def test_a_line_that_is_not_shown_cannot_be_led_to(ledger):
    assert not ledger.view.lead_to_key(("nowhere",))


def test_a_name_is_typed_in_place(qtbot, ledger, typed):
    row = next(r for r in ledger.view.all_rows() if not _line(ledger, r).name)
    net = _line(ledger, row).number
    ledger.view.setCurrentIndex(ledger.view.lines.index(row, 0))
    qtbot.keyClick(ledger.view, Qt.Key.Key_F2)
    editor = ledger.view.findChild(QLineEdit)
    qtbot.keyClicks(editor, "IGN 15")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: typed.names == [(net, "IGN 15")])


def test_escape_types_nothing(qtbot, ledger, typed):
    ledger.view.setCurrentIndex(ledger.view.lines.index(0, 0))
    qtbot.keyClick(ledger.view, Qt.Key.Key_F2)
    editor = ledger.view.findChild(QLineEdit)
    qtbot.keyClicks(editor, "X")
    qtbot.keyClick(editor, Qt.Key.Key_Escape)
    assert typed.names == []


def test_nothing_can_be_typed_in_what_is_only_read(qtbot, ledger):
    ledger.show_lines(lines_of(derived(scoped_job())), is_read_only=True)
    ledger.view.setCurrentIndex(ledger.view.lines.index(0, 0))
    qtbot.keyClick(ledger.view, Qt.Key.Key_F2)
    assert ledger.view.findChild(QLineEdit) is None


def test_the_kind_of_a_sheet_is_chosen_from_a_list(qtbot, ledger, typed):
    ledger.show_stage("sheets")
    index = ledger.view.lines.index(0, 1)
    ledger.view.edit(index)
    box = ledger.view.findChild(ChoiceBox)
    assert box.currentText() == "circuit"
    box.setFocus()
    qtbot.keyClick(box, Qt.Key.Key_Down)
    assert typed.kinds == [("sheet-1", "connector faces")]


def test_a_sheet_is_renamed_in_place(qtbot, ledger, typed):
    ledger.show_stage("sheets")
    ledger.view.setCurrentIndex(ledger.view.lines.index(1, 0))
    qtbot.keyClick(ledger.view, Qt.Key.Key_F2)
    editor = ledger.view.findChild(QLineEdit)
    editor.selectAll()
    qtbot.keyClicks(editor, "Tail")
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: typed.titles == [("sheet-2", "Tail")])


def test_enter_opens_a_line_that_is_not_typed_in(qtbot, ledger):
    ledger.show_stage("pins")
    ledger.view.lead_to_key(pin("X90", "2"))
    with qtbot.waitSignal(ledger.line_opened) as told:
        qtbot.keyClick(ledger.view, Qt.Key.Key_Return)
    assert told.args[0].pin == pin("X90", "2")


def test_words_narrow_the_ledger_and_are_counted(qtbot, ledger):
    total = ledger.view.lines.rowCount()
    qtbot.keyClicks(ledger.filter, "brake x90")
    assert [line.name for line in _lines(ledger)] == ["BRAKE"]
    assert ledger._count.text() == f"1 of {total}"


def test_words_that_nothing_holds_say_so(qtbot, ledger):
    qtbot.keyClicks(ledger.filter, "zebra")
    assert ledger._empty.isVisibleTo(ledger)
    assert ledger._empty.text() == "No line holds all these words."


def test_the_scope_narrows_at_one_press(qtbot, ledger):
    total = ledger.view.lines.rowCount()
    qtbot.mouseClick(ledger.scope, Qt.MouseButton.LeftButton)
    assert 0 < ledger.view.lines.rowCount() < total
    assert all(line.in_scope for line in _lines(ledger))


def test_sheets_always_count(qtbot, ledger):
    ledger.scope.setChecked(True)
    ledger.show_stage("sheets")
    assert not ledger.scope.isVisibleTo(ledger)
    assert ledger.view.lines.rowCount() == 2


def test_an_empty_stage_says_what_to_do(ledger):
    ledger.show_lines({}, is_read_only=False)
    assert ledger._empty.text() == stage("names").empty


def test_each_stage_keeps_its_own_sorting(ledger):
    ledger.view.sortByColumn(0, Qt.SortOrder.DescendingOrder)
    first = _line(ledger, 0)
    ledger.show_stage("pins")
    ledger.show_stage("names")
    assert _line(ledger, 0) == first


def test_choosing_and_sorting_survive_an_edit(ledger):
    ledger.view.sortByColumn(0, Qt.SortOrder.AscendingOrder)
    ledger.view.lead_to(lambda line: line.name == "BRAKE")
    ledger.show_lines(lines_of(derived(scoped_job())), is_read_only=False)
    assert [line.name for line in ledger.view.chosen_lines()] == ["BRAKE"]


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_rows_are_as_high_as_the_look_says(ledger, scale):
    theme = make_theme("light", scale=scale)
    ledger.set_theme(theme)
    assert ledger.view.rowHeight(0) == round(32 * scale)
    ledger.show_stage("doubts")
    assert ledger.view.rowHeight(0) == row_height(theme, columns_of("doubts", Typed()))


def test_the_last_column_takes_the_room_that_is_left(ledger):
    assert ledger.view.horizontalHeader().stretchLastSection()


@pytest.mark.parametrize(
    ("text", "lines"),
    [("short", 1), ("a sentence that is too long for one line", 2), ("word " * 60, 2)],
)
def test_a_sentence_takes_at_most_two_lines(qtbot, text, lines):
    from PySide6.QtGui import QFontMetrics

    metrics = QFontMetrics(make_theme("light").font())
    broken = two_lines(text, metrics, 160).split("\n")
    assert len(broken) == lines
    assert all(metrics.horizontalAdvance(line) <= 170 for line in broken)


def test_the_cross_closes_the_ledger(qtbot, ledger):
    with qtbot.waitSignal(ledger.closed):
        qtbot.mouseClick(ledger._close, Qt.MouseButton.LeftButton)


def _line(ledger, row):
    return ledger.view.lines.record(ledger.view.lines.index(row, 0))


def _lines(ledger):
    return [_line(ledger, row) for row in ledger.view.all_rows()]
