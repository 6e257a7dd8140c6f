"""Letting what a rule found stand: this one, or the whole rule, for a reason that is kept."""

from __future__ import annotations

from PySide6.QtWidgets import QLabel, QPlainTextEdit, QRadioButton, QWidget

from loomfolio.basics import EditError
from loomfolio.desk.dialogs.form import FormDialog
from loomfolio.desk.gestures import Step
from loomfolio.project import Project, edits
from loomfolio.retrofit import RuleFinding


class LetStandDialog(FormDialog):
    """One finding with its rule, and the reason why it may stand."""

    def __init__(
        self, project: Project, finding: RuleFinding, parent: QWidget | None = None
    ) -> None:
        super().__init__(
            "Let this stand",
            "It stays in the ledger with your reason, and goes into the hand-over.",
            "Let it stand",
            parent,
        )
        self._project, self._finding = project, finding
        bound = f"\n{finding.bound}" if finding.bound is not None else ""
        words = QLabel(
            f"{finding.sentence}{bound}\n\n{finding.title}: {finding.reason}\nSource: {finding.source}",
            self,
        )
        words.setWordWrap(True)
        self.body.addWidget(words)
        self.only_this = QRadioButton("Only this finding", self)
        self.whole_rule = QRadioButton("The whole rule, in this job", self)
        self.only_this.setChecked(True)
        self.body.addWidget(self.only_this)
        self.body.addWidget(self.whole_rule)
        self.reason = QPlainTextEdit(self)
        self.reason.setPlaceholderText("Why it may stand, or what makes it safe")
        self.reason.setTabChangesFocus(True)
        self.reason.setFixedHeight(88)
        self.body.addWidget(self.reason)
        self.makes(self._step)
        self.resize(560, self.sizeHint().height())
        self.reason.setFocus()

    def _step(self) -> Step:
        finding, reason = self._finding, self.reason.toPlainText().strip()
        if not reason:
            raise EditError("Write why it may stand.")
        if self.whole_rule.isChecked():
            made = edits.accept_rule(self._project, finding.rule, reason)
            return Step(f"Let a rule stand: {finding.title}", made.project)
        made = edits.accept_finding(self._project, finding.key, reason)
        return Step(f"Let stand: {finding.title}", made.project)
