"""Before and after: what is typed is kept, and the two are compared while one types."""

import pytest
from PySide6.QtCore import Qt

from loomfolio.desk.dialogs.baseline import FAILS, NOT_TRIED, WORKS, BaselineDialog
from loomfolio.desk.dialogs.photos import PhotoShelf
from loomfolio.desk.theme import make_theme
from support.make_desk import surveyed_job


@pytest.fixture
def shown(qtbot, tmp_path):
    def show(project):
        dialog = BaselineDialog(project, PhotoShelf(tmp_path, list, make_theme("light")))
        qtbot.addWidget(dialog)
        dialog.show()
        qtbot.waitExposed(dialog)
        return dialog

    return show


def type_function(dialog, row, name, tried):
    dialog.functions.item(row, 0).setText(name)
    dialog._box(row).setCurrentText(tried)


def press(qtbot, dialog):
    qtbot.mouseClick(dialog.go, Qt.MouseButton.LeftButton)
    return dialog.step


@pytest.fixture
def before(qtbot, shown):
    """The document with a baseline before the work."""
    dialog = shown(surveyed_job())
    dialog.on.setText("2024-04-16")
    dialog.codes.setPlainText("P0420, ECU, catalyst\nB1001")
    type_function(dialog, 0, "Stop lamps", WORKS)
    type_function(dialog, 1, "Wipers", FAILS)
    dialog.functions.item(1, 2).setText("Stuck; so before the work")
    dialog.sleep.setText("12,5 mA")
    return press(qtbot, dialog).project


def test_what_is_typed_is_kept(before):
    (kept,) = before.baselines
    assert (kept.when, kept.on.isoformat(), kept.sleep_current_ma) == ("before", "2024-04-16", 12.5)
    assert [(c.code, c.module, c.text) for c in kept.fault_codes] == [
        ("P0420", "ECU", "catalyst"),
        ("B1001", "", ""),
    ]
    assert [(f.name, f.works, f.note) for f in kept.functions] == [
        ("Stop lamps", True, ""),
        ("Wipers", False, "Stuck; so before the work"),
    ]


def test_setting_it_again_loses_no_note(qtbot, before, shown):
    again = press(qtbot, shown(before)).project
    assert again.baselines == before.baselines


def test_after_the_work_the_same_functions_are_asked(before, shown):
    dialog = shown(before)
    dialog.when["after"].setChecked(True)
    assert [dialog.functions.item(row, 0).text() for row in (0, 1)] == ["Stop lamps", "Wipers"]
    assert dialog._box(0).currentText() == NOT_TRIED
    assert "Stop lamps worked before and has not been tried again" in dialog.compared.text()


def test_the_comparison_follows_what_is_typed(before, shown):
    dialog = shown(before)
    dialog.when["after"].setChecked(True)
    dialog._box(0).setCurrentText(WORKS)
    dialog._box(1).setCurrentText(WORKS)
    dialog.codes.setPlainText("B1001")
    dialog.sleep.setText("13")
    words = dialog.compared.text()
    assert words.startswith("<b>As before")
    assert "Wipers works again" in words
    assert "Fault code P0420 is gone" in words
    dialog.codes.setPlainText("B1001\nU0100, ECU")
    dialog.sleep.setText("80")
    words = dialog.compared.text()
    assert words.startswith("<b>Not as before")
    assert "New fault code U0100 ECU" in words
    assert "rose from 12.5 to 80 mA" in words


def test_a_baseline_is_changed_not_doubled(qtbot, before, shown):
    dialog = shown(before)
    dialog.note.setPlainText("Battery at 12.6 V")
    after = press(qtbot, dialog).project
    assert [one.note for one in after.baselines] == ["Battery at 12.6 V"]


@pytest.mark.parametrize(
    ("field", "text", "words"),
    [
        pytest.param("sleep", "little", "is no current", id="current"),
        pytest.param("sleep", "nan", "is no current", id="not a number"),
        pytest.param("on", "Monday", "is no day", id="day"),
    ],
)
def test_what_cannot_be_is_told(qtbot, shown, field, text, words):
    dialog = shown(surveyed_job())
    getattr(dialog, field).setText(text)
    assert press(qtbot, dialog) is None
    assert words in dialog.fault


def test_a_fault_without_a_code_is_told(qtbot, shown):
    dialog = shown(surveyed_job())
    dialog.codes.setPlainText(", ECU")
    assert press(qtbot, dialog) is None
    assert "has no code" in dialog.fault
