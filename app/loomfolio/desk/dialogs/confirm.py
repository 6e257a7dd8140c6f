"""How a piece of a lead's path is known, where it is more than a look at the sheet."""

from __future__ import annotations

from typing import get_args

from PySide6.QtWidgets import QLineEdit, QWidget

from loomfolio.desk.choice_box import ChoiceBox
from loomfolio.desk.dialogs.form import FormDialog, fields_of
from loomfolio.project import Known, KnownHow

_SAID: dict[KnownHow, str] = {
    "stated": "I say so",
    "seen": "Seen on a vehicle",
    "measured": "Measured",
    "printed": "Printed elsewhere",
    "list": "From a list",
    "standard": "By a standard",
}
_HOWS: tuple[KnownHow, ...] = tuple(how for how in get_args(KnownHow) if how in _SAID)


class ConfirmDialog(FormDialog):
    """How it is known, and by what."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(
            "Confirm",
            "What is printed needs a second source; what is seen or measured stands by itself.",
            "Confirm",
            parent,
        )
        form = fields_of(self)
        self.how = ChoiceBox(self)
        self.how.addItems([_SAID[how] for how in _HOWS])
        self.how.setCurrentText(_SAID["seen"])
        self.source = QLineEdit(self)
        self.source.setPlaceholderText("which vehicle, instrument, list or standard")
        form.addRow("Known", self.how)
        form.addRow("By what", self.source)
        self.resize(440, self.sizeHint().height())

    @property
    def known(self) -> Known:
        """How it is known."""
        return Known(how=_HOWS[self.how.currentIndex()], source=self.source.text().strip())
