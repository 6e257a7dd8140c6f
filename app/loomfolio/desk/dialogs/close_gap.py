"""Closing a gap: by what, and the reason in words. A gap is never closed silently."""

from __future__ import annotations

from typing import Literal

from PySide6.QtWidgets import QLabel, QPlainTextEdit, QRadioButton, QWidget

from loomfolio.desk.dialogs.form import FormDialog
from loomfolio.desk.gestures import Step
from loomfolio.project import Project, edits
from loomfolio.retrofit import Gap

By = Literal["work", "survey", "reason"]
_WORDS: dict[By, str] = {
    "work": "By work: it has been done",
    "survey": "By survey: it was looked at, and is there",
    "reason": "By reason: it may stay as it is",
}


class CloseGapDialog(FormDialog):
    """One gap, what closes it, and why."""

    def __init__(self, project: Project, gap: Gap, parent: QWidget | None = None) -> None:
        super().__init__(
            "Close gap",
            "The gap stays in the ledger with what is written here, and can be opened again.",
            "Close gap",
            parent,
        )
        self._project, self._gap = project, gap
        sentence = QLabel(gap.sentence, self)
        sentence.setWordWrap(True)
        self.body.addWidget(sentence)
        self.by: dict[By, QRadioButton] = {}
        closing = gap.closed_by
        for by, words in _WORDS.items():
            self.by[by] = QRadioButton(words, self)
            self.by[by].setChecked(by == (closing.by if closing else "work"))
            self.body.addWidget(self.by[by])
        self.reason = QPlainTextEdit(closing.reason if closing else "", self)
        self.reason.setPlaceholderText("What was done or seen, or why it may stay")
        self.reason.setTabChangesFocus(True)
        self.reason.setFixedHeight(88)
        self.body.addWidget(self.reason)
        self.makes(self._step)
        self.resize(480, self.sizeHint().height())
        self.reason.setFocus()

    def _step(self) -> Step:
        by = next(by for by, button in self.by.items() if button.isChecked())
        made = edits.close_gap(
            self._project, gap=self._gap.key, by=by, reason=self.reason.toPlainText()
        )
        return Step(f"Close gap by {by}: {self._gap.kind}", made.project)
