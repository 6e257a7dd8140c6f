"""The sets of options: which there are, which one the vehicle is to become, and which one it is now."""

from __future__ import annotations

from PySide6.QtWidgets import QLineEdit, QPushButton, QWidget

from loomfolio.basics import EditError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.gestures import Step
from loomfolio.desk.option_notes import known_options
from loomfolio.project import Fit, Project, edits

NONE = "not said yet"
_NEW = "New fit"


class FitsDialog(FormDialog):
    """One fit at a time, and the two that are compared."""

    def __init__(self, project: Project, parent: QWidget | None = None) -> None:
        names = ", ".join(known_options(project))
        super().__init__(
            "Fits",
            "A fit is a set of options; the sheets say which leads belong to which. An option in neither "
            f"list stays undetermined. Options that the sheets name: {names or 'none yet'}.",
            "Set fits",
            parent,
        )
        self._project = project
        form = fields_of(self)
        self.fit = ChoiceBox(self)
        self.fit.addItem(_NEW)
        for fit in project.fits:
            self.fit.addItem(fit.name, fit.id)
        self.name, self.has, self.lacks = (QLineEdit(self) for _ in range(3))
        self.name.setPlaceholderText("such as Van with towing kit; nothing adds none")
        self.has.setPlaceholderText("options between commas")
        self.lacks.setPlaceholderText("options between commas")
        self.target, self.vehicle = ChoiceBox(self), ChoiceBox(self)
        for box, chosen in (
            (self.target, project.job.target_fit),
            (self.vehicle, project.job.vehicle_fit),
        ):
            box.addItems([NONE, *(fit.name for fit in project.fits)])
            box.setCurrentText(chosen or NONE)
        self.remove = QPushButton("Remove this fit", self)
        self.remove.setAutoDefault(False)
        self.remove.clicked.connect(self._remove)
        for label, field in (
            ("Fit", self.fit),
            ("Its name", self.name),
            ("With options", self.has),
            ("Without options", self.lacks),
            ("", self.remove),
            ("The vehicle is to become", self.target),
            ("The vehicle is now", self.vehicle),
        ):
            form.addRow(label, field)
        self.fit.currentIndexChanged.connect(self._show_fit)
        self.fit.setCurrentIndex(1 if project.fits else 0)
        self._show_fit()
        self.makes(self._step)
        self.resize(520, self.sizeHint().height())

    @property
    def _chosen(self) -> Fit | None:
        fit_id = self.fit.currentData()
        return next((fit for fit in self._project.fits if fit.id == fit_id), None)

    def _show_fit(self) -> None:
        fit = self._chosen
        self.name.setText(fit.name if fit else "")
        self.has.setText(", ".join(fit.options_with) if fit else "")
        self.lacks.setText(", ".join(fit.options_without) if fit else "")
        self.remove.setEnabled(fit is not None)

    def _remove(self) -> None:
        fit = self._chosen
        if fit is not None:
            project = edits.remove_fit(self._project, fit.id)
            self.step = Step(f"Remove fit {fit.name}", project)
            self.accept()

    def _step(self) -> Step:
        project, fit, name = self._project, self._chosen, self.name.text().strip()
        has, lacks = _words(self.has), _words(self.lacks)
        both = sorted(set(has) & set(lacks))
        if both:
            raise EditError(f"{both[0]} stands in both lists; a fit has an option or lacks it.")
        if fit is not None:
            update = {"name": name, "options_with": has, "options_without": lacks}
            project = edits.change_fit(project, fit.model_copy(update=update))
        elif name:
            project = edits.add_fit(
                project, name=name, options_with=has, options_without=lacks
            ).project
        old = fit.name if fit is not None else name
        job = project.job.model_copy(
            update={
                "target_fit": _named(self.target, old, name),
                "vehicle_fit": _named(self.vehicle, old, name),
            }
        )
        return Step("Set fits", edits.set_job(project, job))


def _named(box: ChoiceBox, old: str, new: str) -> str:
    """The chosen fit by the name that it has now."""
    chosen = box.currentText()
    if chosen == NONE:
        return ""
    return new if chosen == old else chosen


def _words(field: QLineEdit) -> tuple[str, ...]:
    return tuple(dict.fromkeys(word.strip() for word in field.text().split(",") if word.strip()))
