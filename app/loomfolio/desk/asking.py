"""The plain questions of the desk: which file, which folder, which password, which of these.

`Asker` is the seam; `QtAsker` puts the questions as Qt dialogs. None is always "never mind".
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

from PySide6.QtWidgets import QFileDialog, QInputDialog, QLineEdit, QMessageBox, QWidget

SHEET_FILES = "Sheets (*.png *.jpg *.jpeg *.gif *.tif *.tiff *.webp *.bmp *.pdf);;All files (*)"


PHOTO_FILES = "Photos (*.jpg *.jpeg *.png *.webp *.tif *.tiff);;All files (*)"
LIST_FILES = "Lists (*.csv *.xlsx);;All files (*)"


class Asker(Protocol):
    """Puts a question to the person and waits for the answer."""

    def folder(self, title: str, start: Path) -> Path | None:
        """Ask for a folder that exists."""

    def sheet_files(self, start: Path) -> tuple[Path, ...]:
        """Ask for picture and PDF files; empty for none."""

    def photo_files(self, start: Path) -> tuple[Path, ...]:
        """Ask for photos; empty for none."""

    def list_file(self, start: Path) -> Path | None:
        """Ask for a list of pins or connections."""

    def file_to_write(self, title: str, start: Path, kinds: str) -> Path | None:
        """Ask where a file is to be written."""

    def text(self, title: str, question: str, start: str = "") -> str | None:
        """Ask for one line of text."""

    def password(self, name: str) -> str | None:
        """Ask for the password of a protected file."""

    def one_of(self, title: str, question: str, choices: Sequence[str]) -> str | None:
        """Ask for one of several."""

    def is_sure(self, title: str, question: str, verb: str) -> bool:
        """Ask whether to go on with what cannot be seen coming."""


class QtAsker:
    """The questions as Qt dialogs over a window."""

    def __init__(self, window: QWidget) -> None:
        self._window = window

    def folder(self, title: str, start: Path) -> Path | None:
        """Ask for a folder that exists."""
        chosen = QFileDialog.getExistingDirectory(self._window, title, str(start))
        return Path(chosen) if chosen else None

    def sheet_files(self, start: Path) -> tuple[Path, ...]:
        """Ask for picture and PDF files; empty for none."""
        chosen, _ = QFileDialog.getOpenFileNames(
            self._window, "Add sheets", str(start), SHEET_FILES
        )
        return tuple(Path(name) for name in chosen)

    def photo_files(self, start: Path) -> tuple[Path, ...]:
        """Ask for photos; empty for none."""
        chosen, _ = QFileDialog.getOpenFileNames(
            self._window, "Add photos", str(start), PHOTO_FILES
        )
        return tuple(Path(name) for name in chosen)

    def list_file(self, start: Path) -> Path | None:
        """Ask for a list of pins or connections."""
        chosen, _ = QFileDialog.getOpenFileName(
            self._window, "Bring a list in", str(start), LIST_FILES
        )
        return Path(chosen) if chosen else None

    def file_to_write(self, title: str, start: Path, kinds: str) -> Path | None:
        """Ask where a file is to be written."""
        chosen, _ = QFileDialog.getSaveFileName(self._window, title, str(start), kinds)
        return Path(chosen) if chosen else None

    def text(self, title: str, question: str, start: str = "") -> str | None:
        """Ask for one line of text."""
        text, is_given = QInputDialog.getText(
            self._window, title, question, QLineEdit.EchoMode.Normal, start
        )
        return text.strip() if is_given else None

    def password(self, name: str) -> str | None:
        """Ask for the password of a protected file."""
        text, is_given = QInputDialog.getText(
            self._window,
            "Protected file",
            f"{name} is protected. Its password (an unprotected copy is kept in the project):",
            QLineEdit.EchoMode.Password,
        )
        return text if is_given else None

    def one_of(self, title: str, question: str, choices: Sequence[str]) -> str | None:
        """Ask for one of several."""
        chosen, is_given = QInputDialog.getItem(
            self._window, title, question, list(choices), 0, False
        )
        return chosen if is_given else None

    def is_sure(self, title: str, question: str, verb: str) -> bool:
        """Ask whether to go on with what cannot be seen coming."""
        box = QMessageBox(QMessageBox.Icon.Question, title, question, parent=self._window)
        go = box.addButton(verb, QMessageBox.ButtonRole.AcceptRole)
        box.addButton("Leave it", QMessageBox.ButtonRole.RejectRole)
        box.exec()
        return box.clickedButton() is go
