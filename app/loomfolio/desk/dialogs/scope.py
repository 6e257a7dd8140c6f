"""Choosing the connectors that the job is about."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QLineEdit, QListWidget, QListWidgetItem, QWidget

from loomfolio.desk.dialogs.form import FormDialog
from loomfolio.desk.gestures import Step
from loomfolio.desk.ledgers.records_model import Held
from loomfolio.project import HalfKey, Project, all_halves, all_pins, edits, half_text

_HALF = Qt.ItemDataRole.UserRole


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
        self.filter = QLineEdit(self)
        self.filter.setPlaceholderText("Filter the connectors")
        self.filter.textChanged.connect(self._filter)
        self.list = QListWidget(self)
        self.list.itemChanged.connect(self._count)
        self._counted = QLabel(self)
        self._counted.setObjectName("second")
        self.body.addWidget(self.filter)
        self.body.addWidget(self.list, 1)
        self.body.addWidget(self._counted)
        self._fill()
        self._count()
        self.makes(self._step)
        self.resize(460, 560)

    def _fill(self) -> None:
        pins: dict[HalfKey, int] = {}
        for pin in all_pins(self._project):
            pins[pin.half_key] = pins.get(pin.half_key, 0) + 1
        for half in all_halves(self._project):
            count = pins.get(half, 0)
            words = f"{half_text(self._project, half)}   ({count} pin{'s' if count != 1 else ''})"
            item = QListWidgetItem(words)
            item.setData(_HALF, Held(half))
            is_in = half in self._project.job.scope
            item.setCheckState(Qt.CheckState.Checked if is_in else Qt.CheckState.Unchecked)
            self.list.addItem(item)

    @property
    def _items(self) -> list[QListWidgetItem]:
        return [self.list.item(row) for row in range(self.list.count())]

    @property
    def halves(self) -> tuple[HalfKey, ...]:
        """The ticked connectors."""
        return tuple(
            item.data(_HALF).value
            for item in self._items
            if item.checkState() == Qt.CheckState.Checked
        )

    def _filter(self, words: str) -> None:
        for item in self._items:
            item.setHidden(words.casefold() not in item.text().casefold())

    def _count(self) -> None:
        count = len(self.halves)
        self._counted.setText(f"{count} ticked" if count else "Nothing ticked: all of it counts.")

    def _step(self) -> Step:
        count = len(self.halves)
        title = f"Set scope to {count} connector{'s' if count != 1 else ''}"
        return Step(title if count else "Clear scope", edits.set_scope(self._project, self.halves))
