"""What all dialogs of the desk are made of: a head, one sentence, the fields, and two buttons."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from loomfolio.basics import LoomfolioError
from loomfolio.desk.gestures import Step
from loomfolio.project import Project


class FormDialog(QDialog):
    """A dialog that makes one step; what is wrong with it is said in it, and it stays open."""

    def __init__(self, head: str, sentence: str, verb: str, parent: QWidget | None) -> None:
        super().__init__(parent)
        self.setWindowTitle(head)
        self.setModal(True)
        self.step: Step | None = None
        self._make: Callable[[], Step] | None = None
        title = QLabel(head, self)
        title.setObjectName("head")
        words = QLabel(sentence, self)
        words.setObjectName("second")
        words.setWordWrap(True)
        self._fault = QLabel(self)
        self._fault.setObjectName("fault")
        self._fault.setWordWrap(True)
        self._fault.hide()
        self.body = QVBoxLayout()
        self.body.setSpacing(8)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 16, 20, 16)
        column.setSpacing(8)
        column.addWidget(title)
        column.addWidget(words)
        column.addSpacing(4)
        column.addLayout(self.body, 1)
        column.addWidget(self._fault)
        column.addLayout(self._buttons(verb))

    def _buttons(self, verb: str) -> QHBoxLayout:
        self.leave = QPushButton("Leave", self)
        self.leave.clicked.connect(self.reject)
        self.go = QPushButton(verb, self)
        self.go.setDefault(True)
        self.go.clicked.connect(self._try)
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addStretch(1)
        row.addWidget(self.leave)
        row.addWidget(self.go)
        return row

    @property
    def fault(self) -> str:
        """What is wrong with the fields as they stand; empty where nothing was."""
        return self._fault.text()

    def makes(self, make: Callable[[], Step]) -> None:
        """Say how the step is made from the fields."""
        self._make = make

    def _try(self) -> None:
        if self._make is None:
            self.accept()
            return
        try:
            self.step = self._make()
        except LoomfolioError as error:
            self._fault.setText(str(error))
            self._fault.show()
            return
        self.accept()


def fields_of(dialog: FormDialog) -> QFormLayout:
    """Add a column of labelled fields to a dialog."""
    form = QFormLayout()
    form.setSpacing(8)
    form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
    form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
    dialog.body.addLayout(form)
    return form


MakeStep = Callable[[Project], Step]
Run = Callable[[QDialog], bool]
"""Shows a dialog and waits; True where the person went on."""


def run_dialog(dialog: QDialog) -> bool:
    """Show a dialog and wait; True where the person went on."""
    return dialog.exec() == QDialog.DialogCode.Accepted
