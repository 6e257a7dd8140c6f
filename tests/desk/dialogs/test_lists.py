"""Lists in: columns mapped once, the outcome told before it is taken, and remembered."""

import pytest
from PySide6.QtCore import Qt

from loomfolio.desk.dialogs.lists import NOT_TAKEN, ListDialog
from loomfolio.retrofit import read_list
from support.make_desk import Answers, small_job

LIST = """Where,What,Mystery
Q9 C1:1,HORN,x
Q9 C1:2,GROUND,y
nowhere,,z
"""


@pytest.fixture
def list_file(tmp_path):
    path = tmp_path / "pins.csv"
    path.write_text(LIST, encoding="utf-8")
    return path


@pytest.fixture
def shown(qtbot, list_file):
    def show(project):
        dialog = ListDialog(project, read_list(list_file))
        qtbot.addWidget(dialog)
        dialog.show()
        qtbot.waitExposed(dialog)
        return dialog

    return show


def test_without_a_pin_nothing_comes_in(qtbot, shown):
    dialog = shown(small_job())
    for box in dialog.meanings:
        box.setCurrentText(NOT_TAKEN)
    assert "No column tells the pin" in dialog.outcome.text()
    qtbot.mouseClick(dialog.go, Qt.MouseButton.LeftButton)
    assert dialog.step is None


def test_the_outcome_is_told_before_it_is_taken(shown):
    dialog = shown(small_job())
    dialog.meanings[0].setCurrentText("pin text")
    dialog.meanings[1].setCurrentText("name")
    words = dialog.outcome.text()
    assert "3 rows; new are 1 part, 2 cavities" in words
    assert "Row 4 stays out" in words


def test_columns_are_mapped_once(qtbot, shown):
    dialog = shown(small_job())
    for box, means in zip(dialog.meanings, ("pin text", "name", NOT_TAKEN), strict=True):
        box.setCurrentText(means)
    qtbot.mouseClick(dialog.go, Qt.MouseButton.LeftButton)
    project = dialog.step.project
    assert "Q9" in {part.name for part in project.parts}
    again = shown(project)
    assert [box.currentText() for box in again.meanings] == ["pin text", "name", NOT_TAKEN]


def test_a_list_comes_in_through_the_menu(qtbot, open_window, list_file):
    window = open_window(small_job(), Answers(list_file=list_file))

    def run(dialog):
        dialog.meanings[0].setCurrentText("pin text")
        qtbot.mouseClick(dialog.go, Qt.MouseButton.LeftButton)
        return dialog.step is not None

    window.vehicle.run = run
    window.book.by_id["list_in"].trigger()
    assert "Q9" in {part.name for part in window.workbench.project.parts}
    assert window.workbench.session.undo_title == "Bring in pins.csv"


def test_a_file_that_is_no_list_is_told(open_window, tmp_path):
    broken = tmp_path / "broken.xlsx"
    broken.write_bytes(b"no workbook")
    window = open_window(small_job(), Answers(list_file=broken))
    window.vehicle.run = pytest.fail
    window.book.by_id["list_in"].trigger()
    assert window.frame.notices.stop.isVisible()
