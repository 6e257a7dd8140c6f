"""A list of the connectors of a project, each with a tick, narrowed down by typing."""

from __future__ import annotations

from collections.abc import Collection

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from loomfolio.desk.ledgers.records_model import Held
from loomfolio.project import HalfKey, Project, all_halves, all_pins, half_text

_HALF = Qt.ItemDataRole.UserRole


class HalfList(QWidget):
    """All halves of a project; `halves` are those that are ticked, in the order of the list."""

    changed = Signal()

    def __init__(self, project: Project, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.filter = QLineEdit(self)
        self.filter.setPlaceholderText("Filter the connectors")
        self.filter.textChanged.connect(self._filter)
        self.list = QListWidget(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(8)
        column.addWidget(self.filter)
        column.addWidget(self.list, 1)
        self._fill(project)
        self.list.itemChanged.connect(self.changed)

    def _fill(self, project: Project) -> None:
        pins: dict[HalfKey, int] = {}
        for pin in all_pins(project):
            pins[pin.half_key] = pins.get(pin.half_key, 0) + 1
        for half in all_halves(project):
            count = pins.get(half, 0)
            words = f"{half_text(project, half)}   ({count} pin{'s' if count != 1 else ''})"
            item = QListWidgetItem(words)
            item.setData(_HALF, Held(half))
            item.setCheckState(Qt.CheckState.Unchecked)
            self.list.addItem(item)

    @property
    def items(self) -> list[QListWidgetItem]:
        """The lines of the list."""
        return [self.list.item(row) for row in range(self.list.count())]

    @property
    def halves(self) -> tuple[HalfKey, ...]:
        """The ticked connectors."""
        return tuple(
            item.data(_HALF).value
            for item in self.items
            if item.checkState() == Qt.CheckState.Checked
        )

    def tick(self, halves: Collection[HalfKey]) -> None:
        """Tick these and no others."""
        for item in self.items:
            is_in = item.data(_HALF).value in halves
            item.setCheckState(Qt.CheckState.Checked if is_in else Qt.CheckState.Unchecked)

    def _filter(self, words: str) -> None:
        for item in self.items:
            item.setHidden(words.strip().casefold() not in item.text().casefold())
