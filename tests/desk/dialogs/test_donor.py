"""A donor loom in the desk: every answer about it as a section, and from a gap's line to the gap."""

import pytest
from PySide6.QtCore import Qt

from loomfolio.desk.dialogs.cables import KINDS, CablesDialog
from loomfolio.desk.dialogs.donor import DonorDialog, sections_of
from loomfolio.desk.dialogs.looms import LoomsDialog
from loomfolio.desk.theme import make_theme
from loomfolio.project import CableGroup, HalfKey, Harness, Specimen
from loomfolio.retrofit import donor_cover
from support.make_desk import TCU, X90, derived, fitted_job, pin, small_job

LEFT = Qt.MouseButton.LeftButton
REAR = Harness(
    id="harness-40",
    name="Rear loom",
    part_number="R 1",
    ends=(HalfKey(part=TCU.id, connector="C1"), HalfKey(part=X90.id)),
)
LOOM = Specimen(id="specimen-41", name="Loom of a wreck", kind="donor loom", harness=REAR.id)
CABLE = CableGroup(
    id="group-42",
    name="W9",
    kind="cable",
    pins=((pin("TCU", "2", "C1"), pin("X90", "2")), (pin("TCU", "1", "C1"), pin("X90", "1"))),
)


def donor_job(**fields):
    return fitted_job(**{"harnesses": (REAR,), "specimens": (LOOM,), "serial": 60, **fields})


@pytest.fixture
def shown(qtbot):
    def show(dialog):
        qtbot.addWidget(dialog)
        dialog.show()
        qtbot.waitExposed(dialog)
        return dialog

    return show


@pytest.fixture
def dialog_of(shown):
    def show(project):
        found = derived(project).job_gaps
        theme = make_theme("light")
        return shown(DonorDialog(project, lambda one: donor_cover(found, project, one), theme))

    return show


def heads(dialog):
    tree = dialog.tree
    return [tree.topLevelItem(row).text(0) for row in range(tree.topLevelItemCount())]


def test_every_answer_is_a_section_with_its_count():
    project = donor_job(groups=(CABLE,))
    cover = donor_cover(derived(project).job_gaps, project, LOOM)
    found = {section.head: section for section in sections_of(project, cover)}
    assert found["Covers"].gaps == tuple(gap.key for gap in cover.covered)
    assert len(found["Leaves open"].lines) == len(cover.left_open)
    assert found["Goes over whole only"].lines == (
        "W9 is one cable: it goes over whole, and is not opened, cut or joined",
    )
    assert found["Connectors that differ"].lines == tuple(one.sentence for one in cover.differing)
    assert cover.covered
    assert cover.differing


def test_the_dialog_says_how_much_is_covered(dialog_of):
    dialog = dialog_of(donor_job())
    assert dialog.told.text().startswith("<b>Covers ")
    assert len(heads(dialog)) == 7
    assert not dialog.go.isEnabled()


def test_a_loom_of_which_it_is_not_said_which_one_it_is(dialog_of):
    nameless = LOOM.model_copy(update={"harness": None})
    dialog = dialog_of(donor_job(specimens=(nameless,)))
    assert "choose its harness" in dialog.told.text()
    assert heads(dialog) == []


def test_from_a_line_to_its_gap(qtbot, open_window):
    window = open_window(donor_job())
    chosen = []

    def run(dialog):
        dialog.tree.setCurrentItem(dialog.tree.topLevelItem(0).child(0))
        chosen.append(dialog.gap)
        dialog.show()
        qtbot.mouseClick(dialog.go, LEFT)
        return True

    window.gaps.run = run
    assert window.book.by_id["donor"].isEnabled()
    window.book.by_id["donor"].trigger()
    assert window.gaps.chosen.gap.key == chosen[0]


def test_without_a_donor_loom_there_is_nothing_to_hold(open_window):
    assert not open_window(fitted_job()).book.by_id["donor"].isEnabled()


# ----------------------------------------------------------------------------- looms and cables


def press(qtbot, dialog):
    qtbot.mouseClick(dialog.go, LEFT)
    return dialog.step


def test_a_loom_is_added_with_its_ends(qtbot, shown):
    dialog = shown(LoomsDialog(small_job()))
    dialog.name.setText("Rear loom")
    dialog.number.setText("R 1")
    dialog.ends.tick(REAR.ends)
    step = press(qtbot, dialog)
    (made,) = step.project.harnesses
    assert (made.name, made.part_number, set(made.ends)) == ("Rear loom", "R 1", set(REAR.ends))


def test_a_loom_is_changed_and_removed(qtbot, shown):
    dialog = shown(LoomsDialog(donor_job()))
    dialog.when.setText("TOW")
    assert press(qtbot, dialog).project.harnesses[0].when == "TOW"
    dialog = shown(LoomsDialog(small_job(harnesses=(REAR,))))
    qtbot.mouseClick(dialog.remove, LEFT)
    assert dialog.step.project.harnesses == ()


@pytest.mark.parametrize(
    ("name", "ends", "when", "fault"),
    [
        ("", REAR.ends, "", "needs a name"),
        ("Rear", (), "", "Tick the connectors"),
        ("Rear", REAR.ends, "TOW &", ""),
    ],
    ids=["no name", "no ends", "no condition"],
)
def test_what_is_no_loom_is_told(qtbot, shown, name, ends, when, fault):
    dialog = shown(LoomsDialog(small_job()))
    dialog.name.setText(name)
    dialog.ends.tick(ends)
    dialog.when.setText(when)
    assert press(qtbot, dialog) is None
    assert dialog.fault
    assert fault in dialog.fault


def type_lead(dialog, row, a, b):
    dialog.leads.item(row, 0).setText(a)
    dialog.leads.item(row, 1).setText(b)


def test_a_cable_is_added_lead_by_lead(qtbot, shown):
    dialog = shown(CablesDialog(small_job()))
    dialog.name.setText("W9")
    dialog.kind.setCurrentIndex(KINDS.index("cable"))
    type_lead(dialog, 0, "TCU C1:1", "X90:1")
    type_lead(dialog, 1, "TCU C1:2", "X90:2")
    dialog.screen_ends.setText("TCU C1:3")
    step = press(qtbot, dialog)
    (made,) = step.project.groups
    assert (made.kind, len(made.pins), made.screen_ends) == ("cable", 2, (pin("TCU", "3", "C1"),))


def test_a_cable_is_shown_as_it_is_and_removed(qtbot, shown):
    project = small_job(groups=(CABLE,))
    dialog = shown(CablesDialog(project))
    assert press(qtbot, dialog).project.groups == project.groups
    dialog = shown(CablesDialog(project))
    qtbot.mouseClick(dialog.remove, LEFT)
    assert dialog.step.project.groups == ()


@pytest.mark.parametrize(
    ("a", "b", "fault"),
    [
        ("", "", "A cable has leads"),
        ("TCU C1:1", "", "Row 1 has one end only"),
        ("Q:9", "X90:1", "Q:9"),
    ],
    ids=["none", "half", "unknown"],
)
def test_what_is_no_cable_is_told(qtbot, shown, a, b, fault):
    dialog = shown(CablesDialog(small_job()))
    dialog.name.setText("W9")
    type_lead(dialog, 0, a, b)
    assert press(qtbot, dialog) is None
    assert fault in dialog.fault
