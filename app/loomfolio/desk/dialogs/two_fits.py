"""Which two fits are laid over each other."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from loomfolio.basics import EditError
from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.gestures import Step
from loomfolio.project import Fit, Project


class TwoFitsDialog(FormDialog):
    """Two fits to choose; nothing of the document changes."""

    def __init__(self, project: Project, parent: QWidget | None = None) -> None:
        super().__init__(
            "Two fits over each other",
            "The sheets then show which leads both have, which only one has, and which go elsewhere.",
            "Lay over each other",
            parent,
        )
        self._project = project
        form = fields_of(self)
        self.a, self.b = ChoiceBox(self), ChoiceBox(self)
        names = [fit.name for fit in project.fits]
        for box, wanted, number in (
            (self.a, project.job.vehicle_fit, 0),
            (self.b, project.job.target_fit, 1),
        ):
            box.addItems(names)
            box.setCurrentIndex(names.index(wanted) if wanted in names else number)
        form.addRow("Below", self.a)
        form.addRow("Over it", self.b)
        self.makes(self._checked)
        self.resize(440, self.sizeHint().height())

    @property
    def fits(self) -> tuple[Fit, Fit]:
        """The two fits."""
        fits = self._project.fits
        return fits[self.a.currentIndex()], fits[self.b.currentIndex()]

    def _checked(self) -> Step:
        a, b = self.fits
        if a.id == b.id:
            raise EditError("A fit over itself shows nothing; choose two different ones.")
        return Step("", self._project)
