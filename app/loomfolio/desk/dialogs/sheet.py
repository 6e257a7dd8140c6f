"""What a sheet shows, of which vehicles it speaks, and how large it is on paper."""

from __future__ import annotations

from PySide6.QtWidgets import QCheckBox, QLineEdit, QWidget

from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.dialogs.job import year_of
from loomfolio.desk.dialogs.only_with import PLACEHOLDER
from loomfolio.desk.gestures import Step
from loomfolio.desk.ledgers.tables import SHEET_KINDS
from loomfolio.desk.option_notes import condition_of
from loomfolio.desk.sheet_arrival import sized
from loomfolio.project import Project, Sheet, ValidFor, edits
from loomfolio.sheets import PAPER_SIZES_MM


class SheetDialog(FormDialog):
    """All that the person can say of one sheet."""

    def __init__(self, project: Project, sheet: Sheet, parent: QWidget | None = None) -> None:
        super().__init__(
            f"Sheet {sheet.title}",
            f"{sheet.width_px} × {sheet.height_px} px of {sheet.file.rsplit('/', 1)[-1]}.",
            "Change sheet",
            parent,
        )
        self._project, self._sheet = project, sheet
        form = fields_of(self)
        self.title = QLineEdit(sheet.title, self)
        self.kind = ChoiceBox(self)
        self.kind.addItems(list(SHEET_KINDS))
        self.kind.setCurrentText(sheet.kind)
        self.paper = ChoiceBox(self)
        self.paper.addItem(f"As it is: {sheet.x_dpi:.0f} dpi, {sheet.resolution_from}")
        self.paper.addItems(list(PAPER_SIZES_MM))
        self.reads = QCheckBox("Read conductors from this sheet", self)
        self.reads.setChecked(sheet.is_read)
        valid = sheet.valid_for
        self.make = QLineEdit(valid.make, self)
        self.model = QLineEdit(valid.model, self)
        self.year_from = QLineEdit(str(valid.year_from or ""), self)
        self.year_to = QLineEdit(str(valid.year_to or ""), self)
        self.market = QLineEdit(valid.market, self)
        self.when = QLineEdit(sheet.when, self)
        self.when.setPlaceholderText(PLACEHOLDER)
        for label, field in (
            ("Title", self.title),
            ("Kind", self.kind),
            ("Paper", self.paper),
            ("", self.reads),
            ("Valid for make", self.make),
            ("Model", self.model),
            ("From year", self.year_from),
            ("To year", self.year_to),
            ("Market", self.market),
            ("Only with", self.when),
        ):
            form.addRow(label, field)
        self.makes(self._step)
        self.resize(460, self.sizeHint().height())

    def _step(self) -> Step:
        project, sheet = self._project, self._sheet
        if self.paper.currentIndex() > 0:
            on_paper = sized(sheet, self.paper.currentText())
            project = edits.resize_sheet(
                project,
                sheet.id,
                x_dpi=on_paper.x_dpi,
                y_dpi=on_paper.y_dpi,
                resolution_from=on_paper.resolution_from,
            )
            sheet = project.sheet(sheet.id)
        valid = ValidFor(
            make=self.make.text().strip(),
            model=self.model.text().strip(),
            year_from=year_of(self.year_from.text(), "the first year"),
            year_to=year_of(self.year_to.text(), "the last year"),
            market=self.market.text().strip(),
        )
        changed = sheet.model_copy(
            update={
                "title": self.title.text().strip(),
                "kind": self.kind.currentText(),
                "is_read": self.reads.isChecked(),
                "valid_for": valid,
                "when": condition_of(self.when.text()),
            }
        )
        return Step(f"Change sheet {changed.title}", edits.change_sheet(project, changed))
