"""The real things that are looked at: this vehicle, a reference vehicle, a donor loom; identity, date, photos."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import get_args

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QIcon, QPixmap
from PySide6.QtWidgets import (
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QPushButton,
    QWidget,
)

from loomfolio.basics import EditError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.dates import day_of
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.dialogs.job import year_of
from loomfolio.desk.gestures import Step
from loomfolio.desk.ledgers.records_model import Held
from loomfolio.project import Photo, Project, Specimen, SpecimenKind, Vehicle, edits

KINDS: tuple[SpecimenKind, ...] = get_args(SpecimenKind)
PHOTO_PX = 96
_NEW = "New specimen"
_PHOTO = Qt.ItemDataRole.UserRole
TakePhotos = Callable[[], Sequence[str]]
"""Asks for photos, copies them into the project's folder upright, and returns their paths there."""


class PhotoStrip(QListWidget):
    """Photos side by side, each with its caption, which can be typed over."""

    def __init__(self, folder: Path, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._folder = folder
        self.setViewMode(QListWidget.ViewMode.IconMode)
        self.setFlow(QListWidget.Flow.LeftToRight)
        self.setMovement(QListWidget.Movement.Static)
        self.setWrapping(False)
        self.setIconSize(QSize(PHOTO_PX, PHOTO_PX))
        self.setFixedHeight(PHOTO_PX + 56)
        self.setEditTriggers(
            QListWidget.EditTrigger.EditKeyPressed | QListWidget.EditTrigger.DoubleClicked
        )
        self.setToolTip("F2 or a double click types a caption; Delete takes a photo away")

    def show_photos(self, photos: Sequence[Photo]) -> None:
        """Show other photos; with none the strip takes no room."""
        self.clear()
        self.setVisible(bool(photos))
        for photo in photos:
            self.add(photo)

    def add(self, photo: Photo) -> None:
        """Show one more photo."""
        picture = QPixmap(str(self._folder / photo.file)).scaled(
            PHOTO_PX,
            PHOTO_PX,
            Qt.AspectRatioMode.KeepAspectRatio,
            Qt.TransformationMode.SmoothTransformation,
        )
        item = QListWidgetItem(QIcon(picture), photo.caption or "no caption")
        item.setFlags(item.flags() | Qt.ItemFlag.ItemIsEditable)
        item.setData(_PHOTO, Held(photo))
        self.addItem(item)
        self.show()

    @property
    def photos(self) -> tuple[Photo, ...]:
        """The photos with their captions as they stand."""
        found: list[Photo] = []
        for row in range(self.count()):
            item = self.item(row)
            photo: Photo = item.data(_PHOTO).value
            caption = "" if item.text() == "no caption" else item.text().strip()
            found.append(photo.model_copy(update={"caption": caption}))
        return tuple(found)

    def take_chosen_away(self) -> None:
        """Take the chosen photos out; their files stay in the folder, so that undo finds them."""
        for item in self.selectedItems():
            self.takeItem(self.row(item))


class SpecimensDialog(FormDialog):
    """One specimen at a time."""

    def __init__(
        self,
        project: Project,
        folder: Path,
        take_photos: TakePhotos,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(
            "Specimens",
            "What is looked at: this vehicle, a reference vehicle, a donor loom on the bench. Each has its "
            "own survey.",
            "Set specimen",
            parent,
        )
        self._project, self._folder, self._take_photos = project, folder, take_photos
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
        self._add_photos()
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

    def _add_photos(self) -> None:
        self.photos = PhotoStrip(self._folder, self)
        self.add_photos = QPushButton("Add photos…", self)
        self.drop_photos = QPushButton("Take the chosen away", self)
        row = QHBoxLayout()
        row.addWidget(QLabel("Photos", self), 1)
        for button, act in (
            (self.drop_photos, self.photos.take_chosen_away),
            (self.add_photos, self._ask_photos),
        ):
            button.setAutoDefault(False)
            button.clicked.connect(act)
            row.addWidget(button)
        self.body.addLayout(row)
        self.body.addWidget(self.photos)

    def _ask_photos(self) -> None:
        for file in self._take_photos():
            self.photos.add(Photo(file=file))

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
        self.photos.show_photos(one.photos)

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
        name, photos = typed["name"], self.photos.photos
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
