"""How something was done: by whom, what came out otherwise than planned, a note; and the signing of a hold point."""

from __future__ import annotations

from typing import get_args

from PySide6.QtWidgets import QCheckBox, QLabel, QLineEdit, QPlainTextEdit, QWidget

from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.dates import today
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.gestures import Step
from loomfolio.desk.ledgers.plan_lines import BenchLine
from loomfolio.project import Deviation, Project, edits
from loomfolio.project import DeviationOf as _DeviationOf

DEVIATIONS: tuple[str, ...] = get_args(_DeviationOf)


class DoingDialog(FormDialog):
    """One thing that was done, and how it came out."""

    def __init__(self, project: Project, line: BenchLine, parent: QWidget | None = None) -> None:
        super().__init__(
            "How it was done",
            "What came out otherwise than planned becomes a fact of this vehicle, and runs through all checks again.",
            "Keep this",
            parent,
        )
        self._project, self._line = project, line
        old = line.doing
        what = QLabel(line.title, self)
        what.setWordWrap(True)
        self.body.addWidget(what)
        self.is_done = QCheckBox("It is done", self)
        self.is_done.setChecked(old is None or old.is_done)
        self.body.addWidget(self.is_done)
        form = fields_of(self)
        self.by = QLineEdit(old.by if old else "", self)
        form.addRow("By", self.by)
        first = old.deviations[0] if old and old.deviations else None
        self.what = ChoiceBox(self)
        for word in DEVIATIONS:
            self.what.addItem(word, word)
        if first is not None:
            self.what.setCurrentIndex(DEVIATIONS.index(first.what))
        self.otherwise = QLineEdit(first.done if first else "", self)
        self.otherwise.setPlaceholderText("as planned")
        self.planned = QLineEdit(first.planned if first else "", self)
        form.addRow("Otherwise: what", self.what)
        form.addRow("Done", self.otherwise)
        form.addRow("Instead of", self.planned)
        self.note = QPlainTextEdit(old.note if old else "", self)
        self.note.setTabChangesFocus(True)
        self.note.setFixedHeight(80)
        form.addRow("Note", self.note)
        self.makes(self._step)
        self.resize(520, self.sizeHint().height())

    def _step(self) -> Step:
        line, done = self._line, self.otherwise.text().strip()
        old = line.doing.deviations if line.doing is not None else ()
        first = (
            Deviation(what=self.what.currentData(), done=done, planned=self.planned.text().strip()),
        )
        made = edits.record_doing(
            self._project,
            subject=line.subject.key,
            is_done=self.is_done.isChecked(),
            by=self.by.text().strip(),
            on=today(),
            note=self.note.toPlainText().strip(),
            deviations=(*(first if done else ()), *old[1:]),
        )
        return Step(f"How it was done: {line.title}", made.project)


class SignDialog(FormDialog):
    """A hold point: what has to be read there, and who stands for it."""

    def __init__(self, project: Project, line: BenchLine, parent: QWidget | None = None) -> None:
        super().__init__(
            line.title,
            "Work stops here until somebody has signed. By qualified persons only; local codes and the vehicle maker's "
            "instructions come first.",
            "Sign",
            parent,
        )
        self._project, self._line = project, line
        words = QLabel(line.detail.replace("; ", "\n"), self)
        words.setWordWrap(True)
        self.body.addWidget(words)
        form = fields_of(self)
        self.by = QLineEdit(self)
        self.read = QLineEdit(self)
        self.read.setPlaceholderText("what was read: volts, minutes, codes")
        form.addRow("Signed by", self.by)
        form.addRow("Read", self.read)
        self.makes(self._step)
        self.resize(520, self.sizeHint().height())
        self.by.setFocus()

    def _step(self) -> Step:
        hold = getattr(self._line.subject, "hold", None)
        made = edits.sign_hold(
            self._project,
            hold=hold.key if hold is not None else self._line.subject.key,
            by=self.by.text(),
            read=self.read.text().strip(),
            on=today(),
        )
        return Step(f"Sign: {self._line.title}", made.project)
