"""The dialogs: what they show of the document, the one step they make, and what they refuse."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QTableWidgetItem

from loomfolio.basics import EditError
from loomfolio.desk.dialogs.confirm import ConfirmDialog
from loomfolio.desk.dialogs.job import JobDialog, year_of
from loomfolio.desk.dialogs.manual import ManualDialog
from loomfolio.desk.dialogs.mates import MatesDialog
from loomfolio.desk.dialogs.part import PartDialog
from loomfolio.desk.dialogs.pin_words import inner_pin, inner_pin_text, inner_pins
from loomfolio.desk.dialogs.scope import ScopeDialog
from loomfolio.desk.dialogs.sheet import SheetDialog
from loomfolio.desk.theme import make_theme
from loomfolio.project import HalfKey, InnerPin, Known, LeadMark, NameMark, edits
from support.make_desk import F5, TCU, X90, scoped_job, small_job


@pytest.fixture
def shown(qtbot):
    """Show a dialog, as it is shown to a person."""

    def show(dialog):
        qtbot.addWidget(dialog)
        dialog.show()
        return dialog

    return show


def press(qtbot, dialog):
    qtbot.mouseClick(dialog.go, Qt.MouseButton.LeftButton)
    return dialog.step


# --------------------------------------------------------------------------------------- scope


def tick(dialog, text):
    for row in range(dialog.picker.list.count()):
        item = dialog.picker.list.item(row)
        if item.text().startswith(text):
            item.setCheckState(Qt.CheckState.Checked)


def test_the_scope_shows_what_is_in_it(shown):
    dialog = shown(ScopeDialog(scoped_job()))
    assert dialog.halves == (HalfKey(part=X90.id),)
    assert dialog._counted.text() == "1 ticked"


def test_ticked_connectors_become_the_scope(qtbot, shown):
    dialog = shown(ScopeDialog(small_job()))
    assert dialog._counted.text() == "Nothing ticked: all of it counts."
    tick(dialog, "TCU C1")
    tick(dialog, "X90")
    step = press(qtbot, dialog)
    assert step.title == "Set scope to 2 connectors"
    assert set(step.project.job.scope) == {
        HalfKey(part=TCU.id, connector="C1"),
        HalfKey(part=X90.id),
    }


def test_a_scope_can_be_cleared(qtbot, shown):
    dialog = shown(ScopeDialog(scoped_job()))
    for row in range(dialog.picker.list.count()):
        dialog.picker.list.item(row).setCheckState(Qt.CheckState.Unchecked)
    step = press(qtbot, dialog)
    assert step.title == "Clear scope"
    assert step.project.job.scope == ()


def test_connectors_are_filtered_by_typing(qtbot, shown):
    dialog = shown(ScopeDialog(small_job()))
    qtbot.keyClicks(dialog.picker.filter, "c1")
    left = [i.text() for i in dialog.picker.items if not i.isHidden()]
    assert [text.split("  ")[0] for text in left] == ["TCU C1"]


# ----------------------------------------------------------------------------------------- job


def test_the_job_is_typed_in_one_step(qtbot, shown):
    dialog = shown(JobDialog(small_job()))
    dialog.title.setText("Tow bar")
    dialog.vehicle["make"].setText("Brenvik")
    dialog.year.setText("2023")
    dialog.cautions.setPlainText("Wait until the bus sleeps.\n\n  Keep off the sensors.  ")
    job = press(qtbot, dialog).project.job
    assert (job.title, job.vehicle.make, job.vehicle.year) == ("Tow bar", "Brenvik", 2023)
    assert job.cautions == ("Wait until the bus sleeps.", "Keep off the sensors.")


@pytest.mark.parametrize("typed", ["soon", "20x3", "1"], ids=["a word", "half", "too early"])
def test_what_is_no_year_is_said_and_the_dialog_stays(qtbot, shown, typed):
    dialog = shown(JobDialog(small_job()))
    dialog.year.setText(typed)
    assert press(qtbot, dialog) is None
    assert dialog.isVisible()
    assert dialog.fault


def test_a_year_may_be_left_out():
    assert year_of("  ", "the year") is None
    assert year_of(" 2023 ", "the year") == 2023


# --------------------------------------------------------------------------------------- sheet


def test_a_sheet_says_of_which_vehicles_it_speaks(qtbot, shown):
    project = small_job()
    dialog = shown(SheetDialog(project, project.sheet("sheet-1")))
    dialog.title.setText("Front, left")
    dialog.make.setText("Brenvik")
    dialog.year_from.setText("2018")
    dialog.kind.setCurrentText("connector faces")
    dialog.reads.setChecked(False)
    sheet = press(qtbot, dialog).project.sheet("sheet-1")
    assert (sheet.title, sheet.kind, sheet.is_read) == ("Front, left", "connector faces", False)
    assert (sheet.valid_for.make, sheet.valid_for.year_from) == ("Brenvik", 2018)


def test_a_bare_sheet_takes_another_paper(qtbot, shown):
    project = small_job().model_copy(update={"marks": ()})
    dialog = shown(SheetDialog(project, project.sheet("sheet-1")))
    dialog.paper.setCurrentText("A3")
    sheet = press(qtbot, dialog).project.sheet("sheet-1")
    assert sheet.resolution_from == "paper size"
    assert max(sheet.width_px / sheet.x_dpi, sheet.height_px / sheet.y_dpi) * 25.4 > 400


def test_marks_keep_to_the_print_on_another_paper(qtbot, shown):
    project = small_job()
    before = project.sheet("sheet-1")
    dialog = shown(SheetDialog(project, before))
    dialog.paper.setCurrentText("A3")
    after = press(qtbot, dialog).project
    sheet = after.sheet("sheet-1")
    assert sheet.x_dpi != before.x_dpi
    for old, new in zip(project.marks, after.marks, strict=True):
        if isinstance(old, NameMark | LeadMark):
            assert new.at.x * sheet.x_dpi == pytest.approx(old.at.x * before.x_dpi)
            assert new.at.y * sheet.y_dpi == pytest.approx(old.at.y * before.y_dpi)


# ---------------------------------------------------------------------------------------- part


def part_dialog(shown, name="F5"):
    project = small_job()
    part = next(part for part in project.parts if part.name == name)
    return shown(PartDialog(project, part))


def way_texts(dialog):
    return [dialog._text(row, 1) for row in range(dialog.ways.rowCount())]


def test_a_part_shows_its_ways(shown):
    assert way_texts(part_dialog(shown)) == ["1, 2"]


def test_a_relay_takes_its_usual_ways_at_one_press(qtbot, shown):
    dialog = part_dialog(shown, "TCU")
    assert not dialog.usual.isEnabled()
    dialog.kind.setCurrentText("relay")
    qtbot.mouseClick(dialog.usual, Qt.MouseButton.LeftButton)
    step = press(qtbot, dialog)
    part = step.project.part(TCU.id)
    assert part.kind == "relay"
    loads = [way for way in part.ways if way.relation == "loads"]
    assert [sorted(p.pin for p in way.pins) for way in loads] == [["85", "86"]]


def test_a_way_is_added_and_removed(qtbot, shown):
    dialog = part_dialog(shown)
    qtbot.mouseClick(dialog.add_way, Qt.MouseButton.LeftButton)
    assert dialog.ways.rowCount() == 2
    dialog.ways.setCurrentCell(1, 1)
    qtbot.mouseClick(dialog.remove_way, Qt.MouseButton.LeftButton)
    assert way_texts(dialog) == ["1, 2"]


@pytest.mark.parametrize(
    ("pins", "what"),
    [("1", "exactly two pins"), ("1, 2, 3", "exactly two pins"), ("C1:, 2", "no pin")],
)
def test_a_way_that_cannot_be_is_said_with_its_row(qtbot, shown, pins, what):
    dialog = part_dialog(shown)
    dialog.ways.setItem(0, 1, QTableWidgetItem(pins))
    assert press(qtbot, dialog) is None
    assert what in dialog.fault


def test_a_name_that_is_taken_is_said(qtbot, shown):
    dialog = part_dialog(shown)
    dialog.name.setText("TCU")
    assert press(qtbot, dialog) is None
    assert "another name" in dialog.fault


def test_a_part_stands_on_a_reference(qtbot, shown):
    project, ground = edits.add_reference(small_job(), name="G103", kind="chassis")
    dialog = shown(PartDialog(project, project.part(F5.id)))
    dialog.reference.setCurrentIndex(1)
    assert press(qtbot, dialog).project.part(F5.id).reference == ground


@pytest.mark.parametrize(
    ("text", "inner"),
    [
        ("12", InnerPin(pin="12")),
        ("C1:12", InnerPin(connector="C1", pin="12")),
        ("C1.B:87a", InnerPin(connector="C1", half="B", pin="87a")),
        (".B:3", InnerPin(half="B", pin="3")),
    ],
)
def test_a_pin_inside_its_part_goes_through_text_and_back(text, inner):
    assert inner_pin(text) == inner
    assert inner_pin_text(inner) == text


def test_a_list_of_pins_may_have_gaps():
    assert [p.pin for p in inner_pins("1, , C1:2,")] == ["1", "2"]
    with pytest.raises(EditError):
        inner_pin(" ")


# --------------------------------------------------------------------------------------- mates


def mated_job(**mate):
    halves = (HalfKey(part=TCU.id, connector="C1"), HalfKey(part=X90.id))
    return edits.add_mate(small_job(), a=halves[0], b=halves[1], **mate).project


def type_pairs(dialog, *pairs):
    dialog.pairs.setRowCount(len(pairs))
    for row, (a, b) in enumerate(pairs):
        dialog.pairs.setItem(row, 0, QTableWidgetItem(a))
        dialog.pairs.setItem(row, 1, QTableWidgetItem(b))


def test_same_number_to_same_number_stays_a_proposal(qtbot, shown):
    dialog = shown(MatesDialog(small_job()))
    dialog.a.setCurrentText("TCU C1")
    dialog.b.setCurrentText("X90")
    dialog.by_number.setChecked(True)
    mate = press(qtbot, dialog).project.mates[0]
    assert mate.pairs == ()


def test_a_typed_table_says_which_cavity_meets_which(qtbot, shown):
    dialog = shown(MatesDialog(small_job()))
    dialog.a.setCurrentText("TCU C1")
    dialog.b.setCurrentText("X90")
    dialog.by_table.setChecked(True)
    type_pairs(dialog, ("1", "4"), ("2", "3"), ("", ""))
    step = press(qtbot, dialog)
    assert [(p.a, p.b) for p in step.project.mates[0].pairs] == [("1", "4"), ("2", "3")]
    assert step.title == "Mate TCU C1 and X90"
    assert step.project.mates[0].known == Known()


def test_listing_the_cavities_guesses_no_partner(qtbot, shown):
    dialog = shown(MatesDialog(small_job()))
    dialog.a.setCurrentText("TCU C1")
    dialog.b.setCurrentText("X90")
    dialog.by_table.setChecked(True)
    qtbot.mouseClick(dialog.fill, Qt.MouseButton.LeftButton)
    assert [dialog._cell(row, 0) for row in range(3)] == ["1", "2", "3"]
    assert all(dialog._cell(row, 1) == "" for row in range(dialog.pairs.rowCount()))
    assert press(qtbot, dialog) is None
    assert "one cavity only" in dialog.fault


def test_a_cavity_has_one_partner(qtbot, shown):
    dialog = shown(MatesDialog(mated_job()))
    dialog.by_table.setChecked(True)
    type_pairs(dialog, ("1", "4"), ("2", "4"))
    assert press(qtbot, dialog) is None
    assert "two partners" in dialog.fault


def test_an_empty_table_is_said_to_be(qtbot, shown):
    dialog = shown(MatesDialog(mated_job()))
    dialog.by_table.setChecked(True)
    type_pairs(dialog)
    assert press(qtbot, dialog) is None
    assert "table is empty" in dialog.fault


def test_a_mate_that_exists_is_changed(qtbot, shown):
    dialog = shown(MatesDialog(mated_job()))
    assert not dialog.a.isEnabled()
    dialog.by_table.setChecked(True)
    type_pairs(dialog, ("1", "2"))
    step = press(qtbot, dialog)
    assert len(step.project.mates) == 1
    assert step.title == "Change mate of TCU C1 and X90"


def test_a_half_does_not_fit_itself(qtbot, shown):
    dialog = shown(MatesDialog(small_job()))
    dialog.b.setCurrentIndex(dialog.a.currentIndex())
    assert press(qtbot, dialog) is None
    assert "itself" in dialog.fault


# ------------------------------------------------------------------------------- confirm, manual


def test_how_a_thing_is_known_is_chosen_and_by_what(qtbot, shown):
    dialog = shown(ConfirmDialog())
    assert dialog.known.how == "seen"
    dialog.how.setCurrentText("Measured")
    dialog.source.setText("  meter 3 ")
    press(qtbot, dialog)
    assert dialog.known == Known(how="measured", source="meter 3")
    assert not dialog.isVisible()


def test_leaving_makes_no_step(qtbot, shown):
    dialog = shown(JobDialog(small_job()))
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert dialog.step is None
    assert not dialog.isVisible()


@pytest.mark.parametrize("name", ["light", "dark"])
def test_the_manual_can_be_read(shown, name):
    dialog = shown(ManualDialog(make_theme(name)))
    assert "Confirm this piece" in dialog.page.toPlainText()
