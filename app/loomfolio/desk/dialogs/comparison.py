"""Two plans side by side: what each comes to, and which gaps they close in other ways."""

from __future__ import annotations

from PySide6.QtWidgets import (
    QButtonGroup,
    QHeaderView,
    QRadioButton,
    QTableWidget,
    QTableWidgetItem,
    QWidget,
)

from loomfolio.desk.dialogs.form import FormDialog
from loomfolio.retrofit import PlanComparison


class ComparisonDialog(FormDialog):
    """The measures of two plans, then the gaps that differ; one of them can be taken for all."""

    def __init__(
        self, found: PlanComparison, names: tuple[str, str], parent: QWidget | None = None
    ) -> None:
        super().__init__(
            "Two plans side by side",
            "Both close every gap that can be closed. Taking one chooses anew for all gaps; one undo takes it back.",
            "Take the chosen plan",
            parent,
        )
        self.leave.setText("Close")
        rows = (*found.rows, *found.differing)
        self.table = QTableWidget(len(rows), 3, self)
        self.table.setHorizontalHeaderLabels(["", *(name.capitalize() for name in names)])
        self.table.verticalHeader().hide()
        self.table.setWordWrap(True)
        self.table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        for at, row in enumerate(rows):
            for column, words in enumerate(row):
                self.table.setItem(at, column, QTableWidgetItem(words))
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.resizeRowsToContents()
        self.body.addWidget(self.table, 1)
        self._group = QButtonGroup(self)
        self.takes = {name: QRadioButton(name.capitalize(), self) for name in names}
        for button in self.takes.values():
            self._group.addButton(button)
            self.body.addWidget(button)
            button.toggled.connect(self._enable)
        self.go.setEnabled(False)
        self.resize(760, 560)

    @property
    def chosen(self) -> str:
        """Which of the two is to be taken; empty where neither is marked."""
        return next((name for name, button in self.takes.items() if button.isChecked()), "")

    def _enable(self) -> None:
        self.go.setEnabled(bool(self.chosen))
