"""With which options something is there: one condition, with the options that the document knows."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QLineEdit, QWidget

from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.desk.gestures import Step
from loomfolio.desk.option_notes import known_options
from loomfolio.project import Project

PLACEHOLDER = "such as towing, or !towing for except; nothing: always"


class OnlyWithDialog(FormDialog):
    """One condition, typed as the options are called."""

    def __init__(
        self,
        project: Project,
        about: str,
        when: str,
        make: Callable[[str], Step],
        parent: QWidget | None = None,
    ) -> None:
        options = ", ".join(known_options(project)) or "none yet"
        super().__init__(
            f"Only with: {about}",
            "Options with & for and, | for or, ! for without, and brackets, such as towing & !(lowroof | lifter). "
            f"Options known so far: {options}.",
            "Set condition",
            parent,
        )
        self.when = QLineEdit(when, self)
        self.when.setPlaceholderText(PLACEHOLDER)
        fields_of(self).addRow("Only with", self.when)
        self.makes(lambda: make(self.when.text()))
        self.resize(520, self.sizeHint().height())
