"""What is to be done, to which vehicle, and what to beware of."""

from __future__ import annotations

from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QWidget

from loomfolio.basics import EditError
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.gestures import Step
from loomfolio.project import Project, edits

EARLIEST_YEAR, LATEST_YEAR = 1900, 2200
"""What the document takes for the year of a vehicle."""

_VEHICLE = ("make", "model", "market", "vin", "plate", "owner")


def year_of(text: str, what: str) -> int | None:
    """Return a typed year; None for nothing, `EditError` for what is none."""
    if not text.strip():
        return None
    year = int(text) if text.strip().isdecimal() else 0
    if not EARLIEST_YEAR <= year <= LATEST_YEAR:
        raise EditError(f"{text.strip()!r} is no year; type {what} as four digits or leave it.")
    return year


class JobDialog(FormDialog):
    """The job, the vehicle in the workshop, and the cautions that stay on the screen."""

    def __init__(self, project: Project, parent: QWidget | None = None) -> None:
        super().__init__(
            "The job",
            "Sheets that speak of another vehicle are flagged; cautions stay in sight.",
            "Set job",
            parent,
        )
        self._project = project
        job, form = project.job, fields_of(self)
        self.title = QLineEdit(job.title, self)
        self.option = QLineEdit(job.option, self)
        self.vehicle = {name: QLineEdit(getattr(job.vehicle, name), self) for name in _VEHICLE}
        self.year = QLineEdit(str(job.vehicle.year or ""), self)
        self.cautions = QPlainTextEdit("\n".join(job.cautions), self)
        self.cautions.setTabChangesFocus(True)
        self.cautions.setFixedHeight(96)
        form.addRow("Title", self.title)
        form.addRow("Option to give it", self.option)
        form.addRow("Make", self.vehicle["make"])
        form.addRow("Model", self.vehicle["model"])
        form.addRow("Year", self.year)
        form.addRow("Market", self.vehicle["market"])
        form.addRow("Identity number", self.vehicle["vin"])
        form.addRow("Plate", self.vehicle["plate"])
        form.addRow("Owner", self.vehicle["owner"])
        form.addRow("Cautions, one a line", self.cautions)
        self.makes(self._step)
        self.resize(480, self.sizeHint().height())

    def _step(self) -> Step:
        typed = {name: field.text().strip() for name, field in self.vehicle.items()}
        vehicle = self._project.job.vehicle.model_copy(
            update={**typed, "year": year_of(self.year.text(), "the year of the vehicle")}
        )
        lines = (line.strip() for line in self.cautions.toPlainText().splitlines())
        job = self._project.job.model_copy(
            update={
                "title": self.title.text().strip(),
                "option": self.option.text().strip(),
                "vehicle": vehicle,
                "cautions": tuple(line for line in lines if line),
            }
        )
        return Step("Set job", edits.set_job(self._project, job))
