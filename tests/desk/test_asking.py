"""The plain questions as Qt dialogs: what is typed comes back, never mind is None."""

from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QFileDialog,
    QInputDialog,
    QLineEdit,
    QMessageBox,
    QWidget,
)

from loomfolio.desk.asking import SHEET_FILES, QtAsker
from loomfolio.sheets import PAPER_SIZES_MM


@pytest.fixture
def asker(qtbot):
    window = QWidget()
    qtbot.addWidget(window)
    yield QtAsker(window)
    window.close()


def answer(act):
    """Do something with the dialog as soon as it is there."""

    def try_it():
        dialog = QApplication.activeModalWidget()
        if isinstance(dialog, QDialog):
            act(dialog)
        else:
            QTimer.singleShot(0, try_it)

    QTimer.singleShot(0, try_it)


def typed(text):
    def act(dialog):
        dialog.setTextValue(text)
        dialog.accept()

    return act


def test_a_line_of_text_comes_back_without_its_blanks(asker):
    answer(typed("  TCU C1:2 "))
    assert asker.text("Follow", "Which pin?") == "TCU C1:2"


def test_what_stands_there_already_can_be_kept(asker):
    answer(lambda dialog: dialog.accept())
    assert asker.text("Rename", "To what?", "Front") == "Front"


def test_never_mind_is_none(asker):
    answer(lambda dialog: dialog.reject())
    assert asker.text("Follow", "Which pin?") is None


def test_a_password_is_not_shown_while_it_is_typed(asker):
    modes = []

    def act(dialog):
        modes.append(dialog.findChild(QLineEdit).echoMode())
        dialog.setTextValue(" with blanks ")
        dialog.accept()

    answer(act)
    assert asker.password("secret.pdf") == " with blanks "
    assert modes == [QLineEdit.EchoMode.Password]


def test_one_of_several_is_chosen_and_nothing_else_can_be_typed(asker):
    def act(dialog):
        assert isinstance(dialog, QInputDialog)
        assert not dialog.isComboBoxEditable()
        dialog.setTextValue("A3")
        dialog.accept()

    answer(act)
    assert asker.one_of("Paper", "Which?", list(PAPER_SIZES_MM)) == "A3"


@pytest.mark.parametrize(("role", "is_sure"), [("AcceptRole", True), ("RejectRole", False)])
def test_being_sure_is_a_verb_and_not_a_yes(asker, role, is_sure):
    def act(box):
        wanted = getattr(QMessageBox.ButtonRole, role)
        button = next(b for b in box.buttons() if box.buttonRole(b) == wanted)
        assert button.text() in {"Remove sheet", "Leave it"}
        button.click()

    answer(act)
    assert asker.is_sure("Sheet", "It carries 12 marks.", "Remove sheet") is is_sure


@pytest.fixture
def no_native(monkeypatch):
    """File dialogs of the desktop itself cannot be worked by a test: their answers are set."""

    def set_answer(name, value):
        monkeypatch.setattr(QFileDialog, name, staticmethod(lambda *_: value))

    return set_answer


def test_a_folder_comes_back_as_a_path(asker, no_native):
    no_native("getExistingDirectory", "/jobs/van")
    assert asker.folder("Open", Path("/jobs")) == Path("/jobs/van")
    no_native("getExistingDirectory", "")
    assert asker.folder("Open", Path("/jobs")) is None


def test_several_sheets_come_back_as_paths(asker, no_native):
    no_native("getOpenFileNames", (["/a.png", "/b.pdf"], ""))
    assert asker.sheet_files(Path("/")) == (Path("/a.png"), Path("/b.pdf"))
    no_native("getOpenFileNames", ([], ""))
    assert asker.sheet_files(Path("/")) == ()


def test_a_place_to_write_comes_back_as_a_path(asker, no_native):
    no_native("getSaveFileName", ("/out/map.csv", ""))
    assert asker.file_to_write("Export", Path("/out"), "*.csv") == Path("/out/map.csv")
    no_native("getSaveFileName", ("", ""))
    assert asker.file_to_write("Export", Path("/out"), "*.csv") is None


@pytest.mark.parametrize("ending", ["png", "jpg", "gif", "tiff", "webp", "pdf"])
def test_every_kind_of_sheet_is_offered(ending):
    assert f"*.{ending}" in SHEET_FILES
