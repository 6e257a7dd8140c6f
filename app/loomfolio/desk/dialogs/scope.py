"""Choosing the connectors that the job is about."""

from __future__ import annotations

from PySide6.QtWidgets import QLabel, QWidget

from loomfolio.desk.dialogs.form import FormDialog
from loomfolio.desk.dialogs.half_list import HalfList
from loomfolio.desk.gestures import Step
from loomfolio.project import HalfKey, Project, edits


class ScopeDialog(FormDialog):
    """A list of all connectors, ticked where the job is about them."""

    def __init__(self, project: Project, parent: QWidget | None = None) -> None:
        super().__init__(
            "What the job is about",
            "Tick the connectors that the job is about. Counts, doubts and ledgers then speak of "
            "them and of the paths from them; with none ticked they speak of everything.",
            "Set scope",
            parent,
        )
        self._project = project
        self.picker = HalfList(project, self)
        self.picker.tick(project.job.scope)
        self.picker.changed.connect(self._count)
        self._counted = QLabel(self)
        self._counted.setObjectName("second")
        self.body.addWidget(self.picker, 1)
        self.body.addWidget(self._counted)
        self._count()
        self.makes(self._step)
        self.resize(460, 560)

    @property
    def halves(self) -> tuple[HalfKey, ...]:
        """The ticked connectors."""
        return self.picker.halves

    def _count(self) -> None:
        count = len(self.halves)
        self._counted.setText(f"{count} ticked" if count else "Nothing ticked: all of it counts.")

    def _step(self) -> Step:
        count = len(self.halves)
        title = f"Set scope to {count} connector{'s' if count != 1 else ''}"
        return Step(title if count else "Clear scope", edits.set_scope(self._project, self.halves))
