"""A pin or connection list from a file: what its columns mean, what would come in, and what would not."""

from __future__ import annotations

from typing import get_args

from PySide6.QtWidgets import QHeaderView, QLabel, QTableWidget, QTableWidgetItem, QWidget

from loomfolio.basics import LoomfolioError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.form import FormDialog
from loomfolio.desk.gestures import Step
from loomfolio.project import ColumnMeaning, ListColumn, Project
from loomfolio.retrofit import ListFile, ListResult, bring_in_list, proposed_layout

NOT_TAKEN = "not taken"
MEANINGS: tuple[ColumnMeaning, ...] = get_args(ColumnMeaning)
PREVIEW_ROWS = 12
MOST_FAULTS = 6


class ListDialog(FormDialog):
    """The first rows of the list below what each column means; the outcome is told before it is taken."""

    def __init__(
        self, project: Project, list_file: ListFile, parent: QWidget | None = None
    ) -> None:
        super().__init__(
            f"Bring in {list_file.name}",
            "Say once what each column means; lists with the same headings are then read alike. What comes "
            "in is known by list, and stands beside the sheets.",
            "Bring in",
            parent,
        )
        self._project, self._list = project, list_file
        headings, rows = list_file.headings, list_file.rows[:PREVIEW_ROWS]
        self.table = QTableWidget(len(rows) + 1, len(headings), self)
        self.table.setHorizontalHeaderLabels(list(headings))
        self.table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.table.verticalHeader().setDefaultSectionSize(32)
        self.table.setVerticalHeaderLabels(
            ["means", *(str(list_file.first_row + row) for row in range(len(rows)))]
        )
        self.meanings: list[ChoiceBox] = []
        self._fill(rows)
        self.outcome = QLabel(self)
        self.outcome.setWordWrap(True)
        self.body.addWidget(self.table, 1)
        self.body.addWidget(self.outcome)
        self._look()
        self.makes(self._step)
        self.resize(880, 600)

    def _fill(self, rows: tuple[tuple[str, ...], ...]) -> None:
        proposed = {
            column.heading: column.means
            for column in proposed_layout(self._list, self._project.layouts)
        }
        for column, heading in enumerate(self._list.headings):
            box = ChoiceBox(self.table)
            box.addItems([NOT_TAKEN, *MEANINGS])
            box.setCurrentText(proposed.get(heading, NOT_TAKEN))
            box.currentIndexChanged.connect(self._look)
            self.table.setCellWidget(0, column, box)
            self.meanings.append(box)
            for row, cells in enumerate(rows, 1):
                self.table.setItem(row, column, QTableWidgetItem(cells[column]))
        header = self.table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        header.setDefaultSectionSize(140)
        header.setStretchLastSection(True)

    @property
    def columns(self) -> tuple[ListColumn, ...]:
        """What the columns mean, as chosen."""
        chosen = (
            (h, box.currentText())
            for h, box in zip(self._list.headings, self.meanings, strict=True)
        )
        return tuple(
            ListColumn.model_validate({"heading": heading, "means": means})
            for heading, means in chosen
            if means != NOT_TAKEN
        )

    def _bring_in(self) -> ListResult:
        return bring_in_list(self._project, self._list, self.columns)

    def _look(self) -> None:
        try:
            self.outcome.setText(_outcome(self._bring_in(), len(self._list.rows)))
        except LoomfolioError as error:
            self.outcome.setText(str(error))

    def _step(self) -> Step:
        return Step(f"Bring in {self._list.name}", self._bring_in().project)


def _outcome(result: ListResult, row_count: int) -> str:
    new = ", ".join(
        f"{count} {one if count == 1 else many}"
        for count, one, many in (
            (result.parts, "part", "parts"),
            (result.cavities, "cavity", "cavities"),
            (result.names, "name", "names"),
            (result.leads, "lead", "leads"),
        )
    )
    lines = [f"<b>{row_count} rows; new are {new}.</b>"]
    lines += [f"Row {f.row} stays out: {f.sentence}" for f in result.faults[:MOST_FAULTS]]
    if len(result.faults) > MOST_FAULTS:
        lines.append(f"and {len(result.faults) - MOST_FAULTS} more rows stay out.")
    return "<br>".join(lines)
