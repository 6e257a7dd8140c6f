"""The real things that are looked at: this vehicle, a reference vehicle, a donor loom; identity, date, photos."""

from __future__ import annotations

from typing import get_args

from PySide6.QtWidgets import QFormLayout, QLineEdit, QPlainTextEdit, QWidget

from loomfolio.basics import EditError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.dates import day_of
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.dialogs.job import year_of
from loomfolio.desk.dialogs.photos import PhotoShelf, PhotoShelfRow
from loomfolio.desk.gestures import Step
from loomfolio.project import Project, Specimen, SpecimenKind, Vehicle, edits

KINDS: tuple[SpecimenKind, ...] = get_args(SpecimenKind)
_NEW = "New specimen"


class SpecimensDialog(FormDialog):
    """One specimen at a time."""

    def __init__(
        self,
        project: Project,
        shelf: PhotoShelf,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(
            "Specimens",
            "What is looked at: this vehicle, a reference vehicle, a donor loom on the bench. Each has its "
            "own survey.",
            "Set specimen",
            parent,
        )
        self._project = project
        form = fields_of(self)
        self.specimen = ChoiceBox(self)
        self.specimen.addItem(_NEW)
        for one in project.specimens:
            self.specimen.addItem(f"{one.name} ({one.kind})", one.id)
        self.kind = ChoiceBox(self)
        self.kind.addItems(list(KINDS))
        self.harness = ChoiceBox(self)
        self.harness.addItem("none of the documents' looms")
        for harness in project.harnesses:
            self.harness.addItem(harness.name, harness.id)
        self.fields = {
            name: QLineEdit(self)
            for name in ("name", "make", "model", "year", "vin", "plate", "owner", "on")
        }
        self.fields["on"].setPlaceholderText("year-month-day, such as 2024-04-16")
        self._add_rows(form)
        self.photos = PhotoShelfRow(shelf, lambda: self.name or _NEW, self)
        self.body.addWidget(self.photos)
        self.specimen.currentIndexChanged.connect(self._show)
        self.specimen.setCurrentIndex(1 if project.specimens else 0)
        self._show()
        self.makes(self._step)
        self.resize(560, self.sizeHint().height())

    def _add_rows(self, form: QFormLayout) -> None:
        self.note = QPlainTextEdit(self)
        self.note.setTabChangesFocus(True)
        self.note.setFixedHeight(64)
        form.addRow("Specimen", self.specimen)
        form.addRow("Kind", self.kind)
        for label, name in (
            ("Name", "name"),
            ("Make", "make"),
            ("Model", "model"),
            ("Year", "year"),
            ("Identity number", "vin"),
            ("Plate", "plate"),
            ("Owner", "owner"),
            ("Looked at on", "on"),
        ):
            form.addRow(label, self.fields[name])
        form.addRow("An example of loom", self.harness)
        form.addRow("Note", self.note)

    @property
    def name(self) -> str:
        """The name as it is typed."""
        return self.fields["name"].text().strip()

    @property
    def _chosen(self) -> Specimen | None:
        specimen_id = self.specimen.currentData()
        return next((one for one in self._project.specimens if one.id == specimen_id), None)

    def _show(self) -> None:
        one = self._chosen or Specimen(id="specimen-0", name="", kind="this vehicle")
        if self._chosen is None and not self._project.specimens:
            one = one.model_copy(update={"vehicle": self._project.job.vehicle})
        self.kind.setCurrentText(one.kind)
        self.harness.setCurrentIndex(max(self.harness.findData(one.harness), 0))
        values = {**dict(one.vehicle), "name": one.name, "on": one.on}
        for name, field in self.fields.items():
            field.setText(str(values[name] or ""))
        self.note.setPlainText(one.note)
        self.photos.strip.show_photos(one.photos)

    def _step(self) -> Step:
        typed = {name: field.text().strip() for name, field in self.fields.items()}
        if not typed["name"]:
            raise EditError("A specimen needs a name, such as The van in bay 2; type one.")
        chosen = self._chosen
        vehicle = (chosen.vehicle if chosen else Vehicle()).model_copy(
            update={
                **{name: typed[name] for name in ("make", "model", "vin", "plate", "owner")},
                "year": year_of(typed["year"], "the year of the vehicle"),
            }
        )
        kind: SpecimenKind = self.kind.currentText()  # type: ignore[assignment]  # one of `KINDS`
        on, note = day_of(typed["on"]), self.note.toPlainText().strip()
        harness = self.harness.currentData()
        name, photos = typed["name"], self.photos.strip.photos
        if chosen is None:
            made = edits.add_specimen(
                self._project,
                name=name,
                kind=kind,
                vehicle=vehicle,
                photos=photos,
                on=on,
                note=note,
                harness=harness,
            )
            return Step(f"Add specimen {name}", made.project)
        update = {"name": name, "kind": kind, "vehicle": vehicle, "photos": photos}
        changed = chosen.model_copy(update={**update, "on": on, "note": note, "harness": harness})
        return Step(f"Change specimen {name}", edits.change_specimen(self._project, changed))
