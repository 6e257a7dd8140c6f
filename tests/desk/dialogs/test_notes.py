"""What is printed beside things or seen of leads, by its dialogs: colour and size, conditions, cavities, leads."""

from datetime import date

import pytest
from PySide6.QtCore import Qt

from loomfolio.desk.dialogs.cavities import CavitiesDialog, part_with_rows, rows_of_part
from loomfolio.desk.dialogs.lead_note import LeadNoteDialog
from loomfolio.desk.dialogs.lead_seen import LeadSeenDialog
from loomfolio.desk.dialogs.part import PartDialog
from loomfolio.desk.dialogs.sheet import SheetDialog
from loomfolio.project import Anchor, Known, LeadEntry, LeadMark
from support.make_desk import FRONT, TCU, Answers, derived, pin, small_job, surveyed_job

LEFT = Qt.MouseButton.LeftButton
TODAY = date(2024, 4, 16)
PLACE = Anchor(sheet="sheet-1", at=FRONT.at("a"))


@pytest.fixture
def shown(qtbot):
    def show(dialog):
        qtbot.addWidget(dialog)
        dialog.show()
        qtbot.waitExposed(dialog)
        return dialog

    return show


def press(qtbot, dialog):
    qtbot.mouseClick(dialog.go, LEFT)
    return dialog.step


# ------------------------------------------------------------------------------- colour and size


def test_colour_and_size_are_noted_on_the_lead(qtbot, shown):
    dialog = shown(LeadNoteDialog(small_job(), PLACE))
    dialog.colour.setText("bu/wh")
    dialog.area.setText("0,75 mm²")
    step = press(qtbot, dialog)
    assert step.title == "Note lead BU/WH 0.75 mm²"
    row = next(r for r in derived(step.project).rows if pin("TCU", "1", "C1") in {r.a, r.b})
    assert (row.colour.base, row.colour.stripe, row.area_mm2) == ("BU", "WH", 0.75)


def test_a_note_is_changed_and_with_nothing_in_it_removed(qtbot, shown):
    project = small_job()
    mark = next(m for m in project.marks if isinstance(m, LeadMark))
    dialog = shown(LeadNoteDialog(project, PLACE, mark))
    assert (dialog.colour.text(), dialog.area.text()) == ("RD/WH", "1.5")
    dialog.area.setText("2.5")
    changed = press(qtbot, dialog).project
    assert [m.area_mm2 for m in changed.marks if isinstance(m, LeadMark)] == [2.5]
    dialog = shown(LeadNoteDialog(project, PLACE, mark))
    dialog.colour.clear()
    dialog.area.clear()
    gone = press(qtbot, dialog).project
    assert not any(isinstance(m, LeadMark) for m in gone.marks)


@pytest.mark.parametrize("area", ["thick", "0", "-1", "5000", "nan"])
def test_what_is_no_area_is_told(qtbot, shown, area):
    dialog = shown(LeadNoteDialog(small_job(), PLACE))
    dialog.area.setText(area)
    assert press(qtbot, dialog) is None
    assert "is no area" in dialog.fault


def test_an_empty_note_is_told(qtbot, shown):
    dialog = shown(LeadNoteDialog(small_job(), PLACE))
    assert press(qtbot, dialog) is None
    assert "needs a colour or an area" in dialog.fault


# ------------------------------------------------------------------------------------ conditions


def test_a_sheet_and_a_part_only_with_an_option(qtbot, shown):
    project = small_job()
    sheet = shown(SheetDialog(project, project.sheet("sheet-1")))
    sheet.when.setText("TOW")
    assert press(qtbot, sheet).project.sheet("sheet-1").when == "TOW"
    part = shown(PartDialog(project, project.part(TCU.id)))
    part.when.setText("TOW & ")
    assert press(qtbot, part) is None
    part.when.setText("!TOW")
    assert press(qtbot, part).project.part(TCU.id).when == "!TOW"


def cell(dialog, number, column, text):
    dialog.table.item(number, column).setText(text)


def row_of(dialog, connector, cavity):
    for number in range(dialog.table.rowCount()):
        if (dialog._text(number, 0), dialog._text(number, 2)) == (connector, cavity):
            return number
    raise AssertionError(f"no line for {connector}:{cavity}")


def test_cavities_are_listed_named_and_put_under_options(qtbot, shown):
    project = surveyed_job()
    dialog = shown(CavitiesDialog(project, project.part(TCU.id)))
    number = row_of(dialog, "C1", "2")
    cell(dialog, number, 3, "STOP")
    cell(dialog, number, 4, "TOW")
    part = press(qtbot, dialog).project.part(TCU.id)
    (c1,) = [one for one in part.connectors if one.name == "C1"]
    assert [(c.pin, c.name, c.when) for c in c1.halves[0].cavities] == [("2", "STOP", "TOW")]
    assert c1.halves[0].face == project.part(TCU.id).connectors[0].halves[0].face


def test_a_whole_connector_only_with_an_option(qtbot, shown):
    project = small_job()
    dialog = shown(CavitiesDialog(project, project.part(TCU.id)))
    spare = dialog.table.rowCount() - 1
    cell(dialog, spare, 0, "C2")
    cell(dialog, spare, 4, "TOW")
    part = press(qtbot, dialog).project.part(TCU.id)
    assert {one.name: one.when for one in part.connectors}["C2"] == "TOW"


def test_lines_set_again_change_nothing():
    project = surveyed_job()
    part = project.part(TCU.id)
    once = part_with_rows(part, rows_of_part(project, part))
    assert part_with_rows(once, rows_of_part(project, once)) == once


@pytest.mark.parametrize(
    ("cells", "fault"),
    [
        (("C9", "", "1", "", "TOW &"), "Row"),
        (("C9", "", "", "STOP", ""), "names a signal but no cavity"),
        (("C1", "", "1", "", ""), "stands there twice"),
    ],
    ids=["condition", "no cavity", "twice"],
)
def test_lines_that_cannot_be_are_told(qtbot, shown, cells, fault):
    project = small_job()
    dialog = shown(CavitiesDialog(project, project.part(TCU.id)))
    spare = dialog.table.rowCount() - 1
    for column, text in enumerate(cells):
        cell(dialog, spare, column, text)
    assert press(qtbot, dialog) is None
    assert fault in dialog.fault


# ------------------------------------------------------------------------------------- leads seen


def test_a_lead_that_no_sheet_shows_becomes_a_gap(qtbot, shown):
    dialog = shown(LeadSeenDialog(surveyed_job(), TODAY))
    dialog.a.setText("TCU C2:7")
    dialog.b.setText("E3:2")
    dialog.how.setCurrentText("measured")
    step = press(qtbot, dialog)
    (entry,) = [e for e in step.project.survey if isinstance(e, LeadEntry)]
    assert (entry.state, entry.known) == ("there", Known(how="measured", on=TODAY))
    assert "extra lead" in {gap.kind for gap in derived(step.project).gaps}


def test_a_lead_that_goes_elsewhere_and_is_taken_back(qtbot, shown):
    dialog = shown(LeadSeenDialog(surveyed_job(), TODAY))
    assert not dialog.goes_to.isEnabled()
    dialog.state.setCurrentText("goes elsewhere")
    dialog.a.setText("TCU C2:7")
    dialog.b.setText("F5:1")
    dialog.goes_to.setText("E3:2")
    project = press(qtbot, dialog).project
    again = shown(LeadSeenDialog(project, TODAY))
    assert again.list.item(0).text() == "TCU C2:7 to F5:1: goes elsewhere to E3:2"
    again.list.setCurrentRow(0)
    qtbot.mouseClick(again.remove, LEFT)
    assert again.step.project.survey == ()


@pytest.mark.parametrize(("b", "fault"), [("", "two ends"), ("Q9:1", "Q9:1")])
def test_a_lead_needs_two_pins_that_there_are(qtbot, shown, b, fault):
    dialog = shown(LeadSeenDialog(surveyed_job(), TODAY))
    dialog.a.setText("TCU C1:1")
    dialog.b.setText(b)
    assert press(qtbot, dialog) is None
    assert fault in dialog.fault


# -------------------------------------------------------------------------- from the table itself


def test_the_right_button_on_a_conductor_offers_its_notes(open_window):
    from loomfolio.desk.table.layout import SheetPlace
    from loomfolio.desk.table.pointing import MenuAsked
    from loomfolio.desk.table.things import Thing

    window = open_window()
    net = window.workbench.state.net_of(pin("TCU", "1", "C1"))
    place = SheetPlace("sheet-1", FRONT.at("a"))
    asked = MenuAsked(place, (Thing("conductor", "sheet-1", FRONT.at("a"), net=net.number),))
    offered = {a.text(): a for a in window.menu.actions_at(asked) if a is not None}
    titles = []

    def run(dialog):
        titles.append(dialog.windowTitle())
        return False

    window.job.run = run
    offered["Colour and size of this lead…"].trigger()
    offered["This conductor only with an option…"].trigger()
    assert titles == [
        "Colour and size of this lead",
        "Only with: this conductor, from joint to joint",
    ]


def test_a_region_is_dragged_and_its_option_typed(qtbot, open_window):
    window = open_window(answers=Answers())
    window.resize(1400, 900)

    def run(dialog):
        dialog.show()
        dialog.when.setText("TOW")
        qtbot.mouseClick(dialog.go, LEFT)
        return True

    window.job.run = run
    table = window.table
    table.fit_all()
    laid = table.scene.layout.get("sheet-1")
    sheet = window.workbench.project.sheet("sheet-1")
    window.book.by_id["draw_region"].trigger()
    start, end = whole_sheet(table, laid, sheet)
    qtbot.mouseMove(table, start)
    qtbot.mousePress(table, LEFT, pos=start)
    qtbot.mouseMove(table, end)
    qtbot.mouseRelease(table, LEFT, pos=end)
    bodies = [
        m for m in window.workbench.project.marks if m.kind == "body" and m.sheet == "sheet-1"
    ]
    assert {mark.when for mark in bodies} == {"TOW"}
    assert window.workbench.session.undo_title == "A region only with TOW"


def whole_sheet(table, laid, sheet):
    from loomfolio.basics import MmPoint

    wide, high = (
        px * 25.4 / dpi
        for px, dpi in ((sheet.width_px, sheet.x_dpi), (sheet.height_px, sheet.y_dpi))
    )
    places = (MmPoint(0.2, 0.2), MmPoint(wide - 0.2, high - 0.2))
    return [table.canvas().px(laid, at).toPoint() for at in places]
